"""Everything that is kept of a person is in what the person can read out, and no more than that.

That a person may read all of it: GDPR (EU 2016/679), articles 15 and 20. The rest is our own.
"""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.test import Client

from tests.conftest import NOON, PHRASE, Given, make_membership
from tests.grouping import put_in
from training.models import Deed, Membership, Person, Role, Scope, Standing
from training.refusals import NotAllowed
from training.rules import Sight
from training.selectors.deeds import club_log
from training.services import accounts, exporting, people
from training.services.corrections import withdraw_plan
from training.services.practice import prepare
from training.services.taught_lessons import note_lesson
from training.services.tokens import make_token

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

YESTERDAY = timedelta(days=1)

WHERE = {
    # Of a person.
    "Person.memberships": "clubs",
    "Person.sign_in_codes": "account.cards",
    "Person.codes_made": "account.cards_made",
    "Person.auth_token_set": "account.tokens",
    "Person.signed_in": "account.browsers",
    "Person.consents_noted": "clubs.consents_noted",
    "Person.invites_made": "clubs.invites_made",
    # Of a membership.
    "Membership.plans": "clubs.plans",
    "Membership.inspections": "clubs.attempts.inspections",
    "Membership.drafts": "clubs.attempts.drafts",
    "Membership.cube_notes": "clubs.attempts.cube_notes",
    "Membership.second_looks": "clubs.attempts.second_looks",
    "Membership.summaries": "clubs.sums",
    "Membership.technique_counts": "clubs.ideas",
    "Membership.due": "clubs.practice_due",
    "Membership.calendar_address": "clubs.calendar_address_made_at",
    "Membership.own_windows": "clubs.own_windows",
    "Membership.own_sets": "clubs.practice_sets and clubs.afterwards",
    "Membership.taught_lessons": "clubs.lessons",
    "Membership.counting_periods": "clubs.counting_periods",
    "Membership.group_times": "clubs.group_times",
    "Membership.corrections_made": "clubs.corrections",
    "Membership.questions": "clubs.challenges.questions",
    "Membership.questions_answered": "clubs.challenges.questions",
    "Membership.confirmed_lines": "clubs.challenges.results",
    "Membership.praised": "clubs.challenges.praised",
    "Membership.challenges_announced": "clubs.challenges.announced",
    "Membership.confirmations": "clubs.challenges.confirmed",
    "Membership.posts_made": "clubs.challenges.posted",
    "Membership.deeds_done": "clubs.log",
    "Membership.deeds_undergone": "clubs.log",
}
"""Where in the data each table stands that points to a person or a membership."""

COLUMNS = {
    "Person": {
        "id": "a number of ours; it goes with an erase",
        "password": "a hash, which is no use to anybody and a risk in a file",
        "last_login": "account.last_login",
        "sign_in_name": "sign_in_name",
        "is_active": "clubs.standing says whether an account lets in",
        "must_choose_phrase": "account.must_choose_phrase",
        "language": "account.language",
        "created_at": "account.created_at",
    },
    "Membership": {
        "id": "a number of ours; it goes with an erase",
        "club": "clubs.club",
        "person": "the file itself",
        "display_name": "clubs.display_name",
        "role": "clubs.role",
        "competes": "clubs.competes",
        "standing": "clubs.standing",
        "joined_at": "clubs.joined_at",
        "under_18": "clubs.under_18",
        "consent_noted_at": "clubs.consent.noted_at",
        "inspects": "clubs.attempts.inspects",
        "usual_hold": "clubs.attempts.usual_hold",
        "consent_noted_by": "clubs.consent.noted_by",
        "consent_note": "clubs.consent.note",
        "consent_text": "clubs.consent.text_number",
        "consent_withdrawn_at": "clubs.consent.withdrawn_at",
        "stopped_competing_at": "clubs.counting_periods: where one ends",
        "named_outside": "clubs.challenges.named_outside",
        "outside_consent_at": "clubs.challenges.guardian_agreed_at",
        "outside_consent_by": "clubs.challenges.agreements_noted, of the coach who did",
    },
}


def pointing_at(kind: type) -> set[str]:
    return {
        f"{kind.__name__}.{one.get_accessor_name()}"
        for one in kind._meta.related_objects
        if one.get_accessor_name()
    }


def test_every_table_and_column_about_somebody_has_its_place_in_the_data() -> None:
    """A new one fails here until it is said where its rows are read out."""
    assert pointing_at(Person) | pointing_at(Membership) == set(WHERE)
    for kind in (Person, Membership):
        own = {one.name for one in (*kind._meta.fields, *kind._meta.many_to_many)}
        assert own == set(COLUMNS[kind.__name__])


def somebody(given: Given, coach: Membership) -> Membership:
    who = make_membership(given.club, "Pim", Role.MEMBER, standing=Standing.CONSENT, under_18=True)
    accounts.note_consent(by=coach, membership=who, note="mother, signed form")
    put_in("Swifts", who)
    at = NOON - YESTERDAY - timedelta(hours=3)
    old = given.a_set(opens=NOON - 2 * YESTERDAY, closes=NOON - YESTERDAY)
    given.a_plan(who, old, 1, "D' R' // my word", at=at)
    withdraw_plan(plan=given.a_plan(who, old, 2, "R", at=at), by=coach, reason="wrong cube")
    prepare(membership=who, now=NOON)
    note_lesson(by=coach, code="mirrored", day=(NOON - YESTERDAY).date(), now=NOON)
    accounts.make_sign_in_code(by=coach, membership=who)
    make_token(person=who.person, program="a script of mine")
    for phrase in (PHRASE, "not at all right"):
        browser = Client(headers={"user-agent": "Mozilla/5.0 (Linux) Firefox/140.0"})
        browser.post("/sign-in/", {"sign_in_name": "pim", "phrase": phrase})
    return who


def test_somebody_reads_everything_that_is_kept_of_them(given, coach) -> None:
    who = somebody(given, coach)
    found = exporting.own_data(person=who.person)
    assert found.account is not None
    (club,) = found.clubs
    assert [one.written for one in club.plans] == ["D' R' // my word", "R"]
    assert club.plans[0].report["excess"] == 0
    assert club.plans[1].withdrawn_reason == "wrong cube"
    assert club.consent.note == "mother, signed form"
    assert (club.consent.noted_by, club.consent.text_number) == ("Kari", 1)
    assert club.consent.text.startswith("The child may belong")
    assert club.groups == ("Swifts",)
    assert [one.what for one in club.log] == ["consent_noted", "card"]
    assert [(one.kind, one.reason, one.made) for one in club.corrections] == [
        ("plan_withdrawn", "wrong cube", False)
    ]
    assert [(one.day.isoformat(), one.code) for one in club.lessons] == [("2026-11-24", "mirrored")]
    assert (len(club.sums), len(club.practice_sets)) == (1, 1)
    assert (club.sums[0].plans, club.sums[0].exact) == (1, 1)
    account = found.account
    assert (len(account.cards), len(account.tokens), len(account.sessions)) == (1, 1, 1)
    assert [(one.browser, one.system) for one in account.browsers] == [("Firefox", "Linux")]
    assert (account.tokens[0].program, account.tokens[0].clubs) == (
        *("a script of mine", ("Lantern Street",)),
    )
    assert {one.failed for one in account.access} == {True, False}


def test_reading_ones_own_is_no_line_of_the_log_and_a_coachs_look_is(given, coach, member) -> None:
    exporting.own_data(person=member.person)
    assert not Deed.objects.exists()
    exporting.club_data(by=coach, membership=member)
    assert [(one.what, one.by, one.whom) for one in Deed.objects.all()] == [
        ("exported", coach, member)
    ]


def test_a_coach_reads_out_this_clubs_part_alone(given, coach, other_club, outsider) -> None:
    who = somebody(given, coach)
    Membership.objects.create(club=other_club, person=who.person, display_name="Far Pim")
    found = exporting.club_data(by=coach, membership=who)
    assert (found.slug, found.display_name) == ("lantern-street", "Pim")
    assert "Far" not in str(found)
    with pytest.raises(NotAllowed):
        exporting.club_data(by=outsider, membership=who)


def test_a_coachs_code_reads_out_that_coachs_club_alone(member, other_club) -> None:
    """Else a card would be a way to everything about somebody."""
    Membership.objects.create(club=other_club, person=member.person, display_name="Far Ines")
    everything = exporting.own_data(person=member.person)
    assert [one.club for one in everything.clubs] == ["Far Shore", "Lantern Street"]
    member.person.opened_clubs = frozenset({member.club_id})
    found = exporting.own_data(person=member.person)
    assert (found.account, [one.club for one in found.clubs]) == (None, ["Lantern Street"])


@pytest.mark.parametrize(("sight", "sealed"), [(Sight.OWN_PLAN, False), (Sight.CLOSING, True)])
def test_what_is_sealed_stays_sealed(given, member, sight, sealed) -> None:
    """The way around would be to read out one's data before the set closes."""
    today = given.a_set(answers_to=sight, table_to=Sight.CLOSING)
    given.a_plan(member, today, 1, "D2 D R'")
    (club,) = exporting.own_data(person=member.person).clubs
    (plan,) = club.plans
    assert (plan.sealed, plan.report is None) == (sealed, sealed)
    assert (club.sums == ()) is sealed


def test_a_coach_who_competes_reads_nobodys_plans_of_an_open_set_out(given, club, member) -> None:
    rival = make_membership(club, "Runa", Role.COACH, competes=True)
    today = given.a_set()
    given.a_plan(member, today, 1, "D2 D R'")
    found = exporting.club_data(by=rival, membership=member)
    assert (found.plans, found.plans_not_yours_yet) == ((), 1)
    assert found.sums == ()


def test_who_did_something_for_others_reads_that_without_their_names(club, coach) -> None:
    child = make_membership(club, "Quill", standing=Standing.CONSENT, under_18=True)
    accounts.note_consent(by=coach, membership=child, note="aunt of Quill, by letter")
    people.make_invite(by=coach)
    (found,) = exporting.own_data(person=coach.person).clubs
    assert (len(found.consents_noted), len(found.invites_made), len(found.log)) == (1, 1, 1)
    assert "Quill" not in str(found)


# The log's reader ------------------------------------------------------------------


def test_owners_read_the_log_and_nobody_else_does(owner, coach, member) -> None:
    accounts.make_sign_in_code(by=coach, membership=member)
    (line,) = club_log(owner).lines
    assert (line.what, line.by, line.whom, line.own) == ("card", "Kari", "Ines", False)
    for who in (coach, member):
        with pytest.raises(NotAllowed):
            club_log(who)


def test_the_log_is_read_page_by_page(owner, coach, member) -> None:
    for _ in range(5):
        accounts.make_sign_in_code(by=coach, membership=member)
    first = club_log(owner, count=3)
    second = club_log(owner, start=3, count=3)
    assert (len(first.lines), first.has_older, len(second.lines), second.has_older) == (
        *(3, True),
        *(2, False),
    )


def test_the_api_gives_the_same_as_files(given, coach, owner, member) -> None:
    given.a_plan(member, given.a_set(), 1, "D2 D R'")
    for who, address in (
        (member, "me/data/"),
        (coach, f"clubs/lantern-street/coach/members/{member.pk}/data/"),
    ):
        _, secret = make_token(person=who.person, scopes=Scope)
        answer = Client().get(f"/api/v1/{address}", headers={"authorization": f"Bearer {secret}"})
        assert answer.status_code == 200
        assert answer["Content-Disposition"].startswith("attachment")
        told = json.loads(answer.content)
        club = told["clubs"][0] if "clubs" in told else told
        assert club["plans"][0]["written"] == "D2 D R'"
        assert club["plans"][0]["report"]["excess"] == 1
    _, secret = make_token(person=owner.person, scopes=Scope)
    answer = Client().get(
        "/api/v1/clubs/lantern-street/log/", headers={"authorization": f"Bearer {secret}"}
    )
    lines = json.loads(answer.content)["lines"]
    assert [(one["what"], one["by"], one["whom"]) for one in lines] == [
        ("exported", "Kari", "Ines")
    ]
