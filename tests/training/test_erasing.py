"""Erasing somebody: nothing of them is left in any cell, and nobody else's numbers move.

That a person may have data erased, and what must be told beforehand: GDPR (EU 2016/679), articles
12, 15 and 17. What stays are numbers that nobody can be told by (recital 26). The rest is our own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta

import pytest
from django.contrib.auth import SESSION_KEY
from django.db import connection
from django.test import Client, RequestFactory
from knox.models import get_token_model

from tests.conftest import NOON, PHRASE, Given, make_membership
from tests.grouping import put_in
from training import retention
from training.models import (
    Club,
    Deed,
    Membership,
    Person,
    Plan,
    Role,
    ScrambleSet,
    Standing,
    Verdict,
)
from training.models.compact import unpack
from training.refusals import InvalidEntry, NoLongerPossible, NotAllowed
from training.selectors import tables
from training.selectors.clubs import membership_in
from training.selectors.coach import overview, set_overview
from training.selectors.reviews import review_for
from training.services import accounts, erasing, particulars, people, rechecks, summaries, verifying
from training.services.corrections import withdraw_plan
from training.services.practice import prepare
from training.services.tokens import make_token
from training.visibility import Sealed

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

PERSON_ID, MEMBERSHIP_ID = 918273645, 827364519
"""Numbers that stand in no cell by chance."""

YESTERDAY = timedelta(days=1)


def everything_stored() -> list[str]:
    """Every cell of every table, as text."""
    with connection.cursor() as cursor:
        cells = []
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            cells += [f"{table}: {readable(cell)}" for row in cursor.fetchall() for cell in row]
    return cells


def readable(cell: object) -> object:
    """What a cell says, also where it is kept compactly."""
    return unpack(bytes(cell)) if isinstance(cell, bytes | memoryview) else cell


def found(words: tuple[str, ...]) -> list[str]:
    return [
        cell for cell in everything_stored() for word in words if word.casefold() in cell.casefold()
    ]


@dataclass
class Remembered:
    """Somebody who has left a trace everywhere, with the words to look for."""

    membership: Membership
    words: tuple[str, ...]


def somebody(given: Given, coach: Membership, **fields: object) -> Remembered:
    """A member with plans, practice, a card, a token, a session, failures, a group, a consent."""
    begins = NOON - timedelta(days=365)
    person = Person(pk=PERSON_ID, sign_in_name="zephyrine", last_login=begins)
    person.set_password(PHRASE)
    person.save(force_insert=True)
    who = Membership.objects.create(
        pk=MEMBERSHIP_ID,
        club=given.club,
        person=person,
        display_name="Zephyrine Q",
        joined_at=begins,
        standing=Standing.CONSENT,
        under_18=True,
        **fields,
    )
    accounts.note_consent(by=coach, membership=who, note="her aunt Wilhelmina", now=begins)
    put_in("Swifts", who)
    old = given.a_set(opens=NOON - 2 * YESTERDAY, closes=NOON - YESTERDAY)
    at = NOON - YESTERDAY - timedelta(hours=3)
    given.a_plan(who, old, 1, "D' R' // my very own word", at=at)
    given.a_plan(who, old, 2, "U D' R' U'", at=at)
    given.a_plan(who, old, 3, None, at=at)
    gone = given.a_plan(who, old, 4, "R", at=at)
    withdraw_plan(plan=gone, by=coach, reason="looked at her sister's")
    given.a_plan(who, given.a_set(), 1, "F // not checked yet", checked=False)
    prepare(membership=who, now=NOON)
    accounts.make_sign_in_code(by=coach, membership=who)
    make_token(person=person, program="zephyrine's script")
    browser = Client()
    browser.post("/sign-in/", {"sign_in_name": "zephyrine", "phrase": PHRASE})
    assert browser.session[SESSION_KEY] == str(PERSON_ID)
    again = {"sign_in_name": "Zephyrine", "phrase": "wrong again and again"}
    Client().post("/sign-in/", again)
    words = (str(PERSON_ID), str(MEMBERSHIP_ID), "zephyrine", "wilhelmina", "very own", "sister")
    return Remembered(who, (*words, "not checked yet", *_marks_of(who)))


def _marks_of(who: Membership) -> tuple[str, ...]:
    """Secrets, keys and digests by which somebody could still be told."""
    from training.services.failures import digest_of_name

    keys = [one.hex for one in Plan.objects.filter(membership=who).values_list("key", flat=True)]
    return (digest_of_name("zephyrine"), *keys)


def a_request() -> object:
    request = RequestFactory().post("/")
    request.session = {}
    return request


def test_a_person_who_erases_themself_is_in_no_cell_any_more(given, coach, owner, second) -> None:
    one = somebody(given, coach)
    assert {word for word in one.words if not found((word,))} == set()
    erasing.erase_person(person=one.membership.person, phrase=PHRASE, request=a_request())
    assert found(one.words) == []


def test_a_coach_who_erases_the_only_membership_leaves_nothing_either(given, coach) -> None:
    one = somebody(given, coach)
    receipt = erasing.erase_membership(by=coach, membership=one.membership, typed="zephyrine q")
    assert found(one.words) == []
    assert receipt.account


def test_a_coachs_erase_reaches_that_coachs_club_alone(given, coach, other_club) -> None:
    one = somebody(given, coach)
    there = make_far(one, other_club)
    receipt = erasing.erase_membership(by=coach, membership=one.membership, typed="Zephyrine Q")
    assert not receipt.account
    there.refresh_from_db()
    assert there.person.check_password(PHRASE)
    assert there.display_name == "Far Zephyrine"
    assert get_token_model().objects.filter(user=there.person).count() == 1
    own = ("her aunt", "very own", "sister", str(MEMBERSHIP_ID), "Zephyrine Q")
    assert found(own) == []
    here = Deed.objects.filter(club=given.club)
    assert not here.filter(by__person=PERSON_ID) | here.filter(whom__person=PERSON_ID)


def make_far(one: Remembered, other_club: Club) -> Membership:
    return Membership.objects.create(
        club=other_club,
        person=one.membership.person,
        display_name="Far Zephyrine",
        joined_at=NOON,
    )


def numbers(viewer: Membership, old: ScrambleSet) -> dict[str, tuple[object, ...]]:
    """What the tables say of everybody, by table and name, but for ids.

    A withdrawn plan goes; like one that is missing it counts 8.
    """
    shown = {
        "week": tables.week_table(viewer, NOON.date(), NOON),
        "all": tables.all_time_table(viewer, NOON),
        "set": tables.set_table(viewer, old.pk, NOON),
    }
    return {
        f"{name} {row.member}": (
            *(getattr(row, "rank", None), row.score, getattr(row, "mean", None)),
            getattr(row, "sets", None),
            tuple(
                replace(cell, plan_id=None, state=cell.state.replace("withdrawn", "missing"))
                for cell in row.cells
                if name == "set"
            ),
        )
        for name, table in shown.items()
        # While a set of the week is open, whoever has planned less has no rank.
        for row in (*table.rows, *table.late, *table.under_way)
    }


def test_others_tables_stand_to_the_last_number(given, coach, second) -> None:
    one = somebody(given, coach)
    old = Plan.objects.filter(membership=one.membership).first().scramble.scramble_set
    at = NOON - YESTERDAY - timedelta(hours=2)
    given.a_plan(second, old, 1, "D2 D R'", at=at)
    given.a_plan(second, old, 4, "R", at=at)
    before = numbers(coach, old)
    erasing.erase_membership(by=coach, membership=one.membership, typed="Zephyrine Q")
    after = numbers(coach, old)
    assert {name.replace("a former member", "Zephyrine Q"): row for name, row in after.items()} == (
        before
    )
    assert set(after) == {
        f"{table} {name}"
        for table in ("week", "all", "set")
        for name in ("Bashir", "a former member")
    }


def test_a_set_that_closes_after_the_week_is_not_charged_to_them(given, coach, second) -> None:
    one = somebody(given, coach)
    erasing.erase_membership(by=coach, membership=one.membership, typed="Zephyrine Q")
    later = given.a_set(opens=NOON + 5 * YESTERDAY, closes=NOON + 6 * YESTERDAY)
    rows = tables.all_time_table(coach, later.closes_at).rows
    sets = {row.member: row.sets for row in rows}
    assert sets["a former member"] == 2
    assert sets["Bashir"] == 3


def test_summaries_agree_with_what_is_left(given, coach, second) -> None:
    one = somebody(given, coach)
    assert summaries.differences() == []
    erasing.erase_membership(by=coach, membership=one.membership, typed="Zephyrine Q")
    assert summaries.differences() == []
    assert Verdict.objects.filter(plan__membership__standing=Standing.FORMER).count() == 3


def test_newer_rules_leave_the_numbers_of_former_members_as_they_are(given, coach) -> None:
    """There is no plan left to be checked again: it would count as not solved."""
    one = somebody(given, coach)
    erasing.erase_membership(by=coach, membership=one.membership, typed="Zephyrine Q")
    Verdict.objects.update(rules_version=1)
    assert rechecks.backlog().old == 0
    assert verifying.progress(verifying.current()).of_plans == 0


def test_nobody_meets_a_former_member_but_in_a_table(given, coach, second) -> None:
    one = somebody(given, coach)
    old = Plan.objects.filter(membership=one.membership).first().scramble.scramble_set
    erasing.erase_membership(by=coach, membership=one.membership, typed="Zephyrine Q")
    former = Membership.objects.get(standing=Standing.FORMER)
    assert membership_in(given.club, former.pk) is None
    with pytest.raises(Sealed):
        review_for(coach, former.pk, NOON)
    shown = set_overview(coach, old.pk, NOON)
    everybody = {day.member for day in (*shown.handed_in, *shown.missing)}
    assert everybody == {"Bashir"}
    assert "a former member" not in str(overview(coach, NOON))


def test_two_former_members_of_a_club_stand_beside_each_other(given, coach, member, second) -> None:
    """An empty name is not one that somebody else has."""
    erasing.erase_membership(by=coach, membership=member, typed="Ines")
    erasing.erase_membership(by=coach, membership=second, typed=" bashir ")
    assert Membership.objects.filter(standing=Standing.FORMER).count() == 2


# What is said before and after, and by whom -----------------------------------------


def test_what_is_said_beforehand_is_what_is_done(given, coach) -> None:
    one = somebody(given, coach)
    before = erasing.what_goes(one.membership)
    # Three checked plans of a club's set stay as numbers; one withdrawn and one waiting go.
    assert (before.kept, before.gone) == (3, 2)
    receipt = erasing.erase_membership(by=coach, membership=one.membership, typed="Zephyrine Q")
    assert receipt.clubs == (before,)
    assert receipt.erased_at == NOON
    assert Plan.objects.count() == 3


def test_a_slip_of_the_hand_erases_nobody(coach, member) -> None:
    with pytest.raises(InvalidEntry):
        erasing.erase_membership(by=coach, membership=member, typed="Bashir")
    with pytest.raises(InvalidEntry):
        erasing.erase_person(person=member.person, phrase="not my phrase", request=a_request())
    assert Person.objects.filter(pk=member.person_id).exists()


def test_a_coachs_code_erases_nobody_everywhere(member) -> None:
    member.person.opened_clubs = frozenset({member.club_id})
    with pytest.raises(NotAllowed):
        erasing.erase_person(person=member.person, phrase=PHRASE, request=a_request())


def test_who_may_erase_whom(owner, coach, member, second, outsider) -> None:
    for by, whom in ((second, member), (outsider, member), (coach, owner), (coach, coach)):
        with pytest.raises(NotAllowed):
            erasing.erase_membership(by=by, membership=whom, typed=whom.display_name)
    with pytest.raises(NotAllowed, match="by nobody else"):
        erasing.erase_membership(by=owner, membership=owner, typed="Odd")
    erasing.erase_membership(by=owner, membership=coach, typed="Kari")


def test_the_last_owner_is_told_what_to_do_instead(club, owner, coach) -> None:
    with pytest.raises(NoLongerPossible, match="Make somebody else an owner first"):
        erasing.erase_person(person=owner.person, phrase=PHRASE, request=a_request())
    particulars.hand_over(by=owner, membership=coach)
    erasing.erase_person(person=owner.person, phrase=PHRASE, request=a_request())
    owners = Membership.objects.filter(club=club, role=Role.OWNER)
    assert [one.display_name for one in owners] == ["Kari"]


def test_an_archived_second_owner_is_none(owner, coach) -> None:
    particulars.change_role(by=owner, membership=coach, role=Role.OWNER)
    Membership.objects.filter(pk=coach.pk).update(standing=Standing.ARCHIVED)
    with pytest.raises(NoLongerPossible):
        erasing.erase_person(person=owner.person, phrase=PHRASE, request=a_request())


def test_the_log_tells_of_it_and_of_a_former_member(coach, member, owner) -> None:
    accounts.make_sign_in_code(by=coach, membership=member)
    erasing.erase_membership(by=coach, membership=member, typed="Ines")
    erasing.erase_membership(by=owner, membership=coach, typed="Kari")
    lines = [(one.what, one.by.display_name, one.whom.display_name) for one in Deed.objects.all()]
    gone = "a former member"
    assert sorted(lines) == [("card", gone, gone), ("erased", "Odd", gone), ("erased", gone, gone)]


def test_what_they_did_for_others_stays_without_their_name(club, owner, coach, member) -> None:
    child = make_membership(club, "Pim", standing=Standing.CONSENT, under_18=True)
    accounts.note_consent(by=coach, membership=child, note="father, by letter")
    invite, _ = people.make_invite(by=coach)
    erasing.erase_membership(by=owner, membership=coach, typed="Kari")
    child.refresh_from_db()
    invite.refresh_from_db()
    assert child.standing == Standing.ACTIVE
    assert (child.consent_note, child.consent_noted_by) == ("father, by letter", None)
    assert invite.made_by is None


def test_a_link_made_for_a_name_forgets_it_when_it_is_used(coach) -> None:
    """Else it would stay after an erase, whatever name somebody joined under."""
    _, token = people.make_invite(by=coach, places=1, made_for="Zephyrine")
    account = people.NewAccount("zeph-1", "Zeph", "nine paper lanterns")
    people.join_by_invite(token=token, account=account, under_18=False)
    assert found(("zephyrine",)) == []


def test_how_long_copies_hold_it_is_the_number_that_copies_are_kept_by() -> None:
    from clubsite.deploy import backups

    assert backups.KEPT_BEFORE_UPGRADES == retention.COPIES_BEFORE_UPGRADES
