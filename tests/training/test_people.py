"""Who is let in: the first owner, invites, consent, one-time codes, phrases."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.contrib.auth import authenticate
from django.db import IntegrityError, transaction
from django.test import RequestFactory
from knox.models import get_token_model

from solverworker.tasks import DRAWERS
from tests.conftest import NOON, PHRASE, make_membership
from training import dispatch, refusals
from training.models import (
    Invite,
    Membership,
    OwnerLink,
    Person,
    Role,
    ScrambleSet,
    SignInCode,
    Standing,
)
from training.services import accounts, people, periodic, sign_in
from training.services.people import NewAccount
from training.services.tokens import make_token

pytestmark = pytest.mark.django_db

ACCOUNT = NewAccount(sign_in_name="tuva", display_name="Tuva", phrase="twelve red kites")


def request(address: str = "192.0.2.1"):
    return RequestFactory().post("/sign-in/", REMOTE_ADDR=address)


# The first owner ------------------------------------------------------------


def start(token: str, **changes):
    entry = {
        "token": token,
        "club_name": "Lantern Street",
        "time_zone": "Europe/Oslo",
        "account": ACCOUNT,
        "now": NOON,
    }
    return people.start_club(**{**entry, **changes})


def token_of(link: str) -> str:
    return link.rstrip("/").rsplit("/", 1)[1]


def test_the_owner_link_works_once_and_the_workers_draw_the_clubs_first_sets(
    monkeypatch, django_capture_on_commit_callbacks
) -> None:
    sent: list[str] = []
    monkeypatch.setattr("celery.Celery.send_task", lambda app, name, **options: sent.append(name))
    link = people.make_owner_link(base_url="http://127.0.0.1:8000/", now=NOON)
    assert link.startswith("http://127.0.0.1:8000/start/")
    with django_capture_on_commit_callbacks(execute=True):
        owner = start(token_of(link))
    assert sent == [dispatch.TICK]
    assert (owner.role, owner.club.slug) == (Role.OWNER, "lantern-street")
    periodic.tick(drawers=DRAWERS, now=NOON)
    assert ScrambleSet.objects.filter(club=owner.club).count() == 2
    assert not people.needs_first_owner()
    with pytest.raises(refusals.LinkUsedUp):
        start(token_of(link))


def test_the_link_itself_is_nowhere_in_the_database() -> None:
    link = people.make_owner_link(base_url="http://x", now=NOON)
    assert token_of(link) not in str(list(OwnerLink.objects.values()))


def test_a_new_owner_link_ends_the_lost_one_and_old_ones_run_out() -> None:
    lost = people.make_owner_link(base_url="http://x", now=NOON)
    found = people.make_owner_link(base_url="http://x", now=NOON)
    with pytest.raises(refusals.LinkUsedUp):
        start(token_of(lost))
    with pytest.raises(refusals.LinkUsedUp):
        start(token_of(found), now=NOON + timedelta(days=people.OWNER_LINK_DAYS))


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"time_zone": "Mars/Olympus"}, "time_zone"),
        ({"club_name": " "}, "club_name"),
        ({"club_name": "x" * 61}, "club_name"),
        ({"account": NewAccount("tu va", "Tuva", "twelve red kites")}, "sign_in_name"),
        ({"account": NewAccount("tuva", " ", "twelve red kites")}, "display_name"),
        ({"account": NewAccount("tuva", "Tuva", "short")}, "phrase"),
        ({"account": NewAccount("tuva", "Tuva", "password123")}, "phrase"),
        ({"account": NewAccount("tuva", "Tuva", "the name is tuva")}, "phrase"),
    ],
)
def test_a_start_that_cannot_be_uses_nothing_up(changes, field) -> None:
    token = token_of(people.make_owner_link(base_url="http://x", now=NOON))
    with pytest.raises(refusals.InvalidEntry) as refused:
        start(token, **changes)
    assert refused.value.field == field
    assert not Person.objects.exists()
    assert start(token).pk


# Invites ---------------------------------------------------------------------


def test_an_invite_lets_a_number_of_people_in_until_a_date(coach) -> None:
    _, token = people.make_invite(by=coach, places=1, days=2, now=NOON)
    with pytest.raises(refusals.LinkUsedUp):
        people.find_invite(token=token, now=NOON + timedelta(days=2))
    joined = people.join_by_invite(token=token, account=ACCOUNT, under_18=False, now=NOON)
    assert (joined.role, joined.standing, joined.competes) == ("member", "waiting", True)
    with pytest.raises(refusals.LinkUsedUp):
        people.join_by_invite(token=token, account=ACCOUNT, under_18=False, now=NOON)


def test_a_withdrawn_invite_lets_nobody_in(coach, outsider) -> None:
    invite, token = people.make_invite(by=coach, now=NOON)
    with pytest.raises(refusals.NotAllowed):
        people.withdraw_invite(by=outsider, invite=invite)
    people.withdraw_invite(by=coach, invite=invite, now=NOON)
    with pytest.raises(refusals.LinkUsedUp):
        people.find_invite(token=token, now=NOON)


def test_only_coaches_invite_and_only_the_owner_invites_coaches(member, coach, owner) -> None:
    with pytest.raises(refusals.NotAllowed):
        people.make_invite(by=member)
    with pytest.raises(refusals.NotAllowed):
        people.make_invite(by=coach, role=Role.COACH)
    invite, _ = people.make_invite(by=owner, role=Role.COACH)
    assert invite.role == Role.COACH
    with pytest.raises(refusals.InvalidEntry):
        people.make_invite(by=owner, role=Role.OWNER)


def test_a_taken_name_costs_no_place_and_says_what_to_do(coach, member) -> None:
    _, token = people.make_invite(by=coach, now=NOON)
    taken = NewAccount(sign_in_name="INES", display_name="Someone", phrase="twelve red kites")
    with pytest.raises(refusals.InvalidEntry, match="taken") as refused:
        people.join_by_invite(token=token, account=taken, under_18=False, now=NOON)
    assert refused.value.field == "sign_in_name"
    shown = NewAccount(sign_in_name="ines2", display_name="ines", phrase="twelve red kites")
    with pytest.raises(refusals.InvalidEntry, match="already called"):
        people.join_by_invite(token=token, account=shown, under_18=False, now=NOON)
    assert Invite.objects.get().taken == 0
    assert not Person.objects.filter(sign_in_name="ines2").exists()


def test_somebody_of_another_club_joins_with_the_account_there_is(coach, outsider) -> None:
    _, token = people.make_invite(by=coach, now=NOON)
    joined = people.join_by_invite(
        token=token, person=outsider.person, display_name="Orla F", under_18=False, now=NOON
    )
    assert joined.person.memberships.count() == 2
    with pytest.raises(refusals.InvalidEntry, match="already belong"):
        people.join_by_invite(
            token=token, person=outsider.person, display_name="Again", under_18=False, now=NOON
        )


# Consent ------------------------------------------------------------------------


def test_a_childs_account_opens_when_a_coach_has_noted_the_guardians_consent(
    coach, outsider, member
) -> None:
    _, token = people.make_invite(by=coach, now=NOON)
    child = people.join_by_invite(token=token, account=ACCOUNT, under_18=True, now=NOON)
    assert child.standing == Standing.CONSENT
    for stranger in (outsider, member, child):
        with pytest.raises(refusals.NotAllowed):
            accounts.note_consent(by=stranger, membership=child, note="mother, by phone")
    with pytest.raises(refusals.InvalidEntry):
        accounts.note_consent(by=coach, membership=child, note="  ")
    accounts.note_consent(by=coach, membership=child, note="mother, signed form", now=NOON)
    assert (child.standing, child.consent_noted_by) == (Standing.ACTIVE, coach.person)


def test_the_database_itself_opens_no_childs_account_without_consent(club) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        make_membership(club, "Wee", under_18=True)


def test_an_archived_childs_account_opens_again_only_as_far_as_consent_goes(club, coach) -> None:
    child = make_membership(club, "Wee", under_18=True, standing=Standing.CONSENT)
    accounts.archive_membership(by=coach, membership=child)
    accounts.reopen_membership(by=coach, membership=child)
    assert child.standing == Standing.CONSENT


# Codes and phrases ---------------------------------------------------------------


def test_a_one_time_code_signs_in_once_and_asks_for_a_new_phrase(coach, member) -> None:
    code = accounts.make_sign_in_code(by=coach, membership=member)
    assert SignInCode.objects.filter(token_hash__contains=code[:4]).count() == 0
    typed = code.lower().replace("-", " ")
    person = sign_in.prove(request=request(), sign_in_name="INES", one_time_code=typed)
    assert person == member.person
    assert person.must_choose_phrase
    with pytest.raises(refusals.Refusal):
        sign_in.prove(request=request(), sign_in_name="ines", one_time_code=code)


def test_a_code_is_for_one_person_and_a_newer_one_ends_it(coach, member, second) -> None:
    first = accounts.make_sign_in_code(by=coach, membership=member)
    with pytest.raises(refusals.WrongSignIn):
        sign_in.prove(request=request(), sign_in_name="bashir", one_time_code=first)
    accounts.make_sign_in_code(by=coach, membership=member)
    with pytest.raises(refusals.WrongSignIn):
        sign_in.prove(request=request(), sign_in_name="ines", one_time_code=first)


def test_an_old_code_has_run_out(coach, member, clock) -> None:
    code = accounts.make_sign_in_code(by=coach, membership=member)
    clock(NOON + timedelta(days=accounts.CODE_DAYS))
    with pytest.raises(refusals.WrongSignIn):
        sign_in.prove(request=request(), sign_in_name="ines", one_time_code=code)


def test_coaches_make_codes_for_members_and_only_the_owner_for_coaches(
    coach, owner, member, outsider, other_club
) -> None:
    for stranger in (member, outsider):
        with pytest.raises(refusals.NotAllowed):
            accounts.make_sign_in_code(by=stranger, membership=member)
    with pytest.raises(refusals.NotAllowed):
        accounts.make_sign_in_code(by=coach, membership=owner)
    assert accounts.make_sign_in_code(by=owner, membership=coach)
    # A member here who coaches elsewhere: the code opens this club alone.
    Membership.objects.create(
        club=other_club, person=member.person, display_name="I", role=Role.COACH
    )
    code = accounts.make_sign_in_code(by=coach, membership=member)
    person = sign_in.prove(request=request(), sign_in_name="ines", one_time_code=code)
    assert person.opened_clubs == {coach.club_id}
    assert not person.must_choose_phrase


def test_a_new_phrase_ends_tokens_and_the_old_phrase(member) -> None:
    make_token(person=member.person)
    accounts.choose_phrase(
        person=member.person, phrase="eleven slow snails", request=request(), old_phrase=PHRASE
    )
    assert not get_token_model().objects.exists()
    assert authenticate(request(), username="ines", password=PHRASE) is None
    assert authenticate(request(), username="Ines", password="eleven slow snails")


def test_thirty_members_on_one_address_sign_in_while_one_of_them_keeps_failing(club) -> None:
    names = [f"pupil{n}" for n in range(30)]
    for name in names:
        make_membership(club, name)
    for _ in range(10):
        with pytest.raises(refusals.Refusal):
            sign_in.prove(request=request(), sign_in_name="pupil0", phrase="not it at all")
    with pytest.raises(refusals.LockedOut, match="quarter of an hour"):
        sign_in.prove(request=request(), sign_in_name="Pupil0 ", phrase=PHRASE)
    for name in names[1:]:
        assert sign_in.prove(request=request(), sign_in_name=name, phrase=PHRASE)
    assert sign_in.prove(request=request("192.0.2.9"), sign_in_name="pupil0", phrase=PHRASE)


def test_a_coachs_code_lets_a_locked_member_in_at_once(coach, member) -> None:
    for _ in range(9):
        with pytest.raises(refusals.Refusal):
            sign_in.prove(request=request(), sign_in_name="ines", phrase="not it at all")
    code = accounts.make_sign_in_code(by=coach, membership=member)
    assert sign_in.prove(request=request(), sign_in_name="ines", one_time_code=code)


def test_nobody_in_the_hall_locks_all_out(coach, club) -> None:
    """Common practice, no source: a lock on the address of a whole club is a lock on the club."""
    people_there = [make_membership(club, f"pupil{n}") for n in range(30)]
    code = accounts.make_sign_in_code(by=coach, membership=people_there[29])
    for n in range(200):
        tried = people_there[n % 30].person.sign_in_name
        with pytest.raises(refusals.WrongSignIn):
            sign_in.prove(request=request(), sign_in_name=tried, one_time_code="AAAA-AAAA-AAAA")
        with pytest.raises(refusals.WrongSignIn):
            sign_in.prove(request=request(), sign_in_name=f"guess{n}", phrase="not it at all")
    for _ in range(10):
        with pytest.raises(refusals.Refusal):
            sign_in.prove(request=request(), sign_in_name="pupil0", phrase="not it at all")
    for one in people_there[1:29]:
        name = one.person.sign_in_name
        assert sign_in.prove(request=request(), sign_in_name=name, phrase=PHRASE) == one.person
    assert sign_in.prove(request=request(), sign_in_name="pupil29", one_time_code=code)


def test_a_coach_lifts_a_lock_but_not_for_ever(coach, member, outsider) -> None:
    def fail() -> None:
        for _ in range(8):
            with pytest.raises(refusals.Refusal):
                sign_in.prove(request=request(), sign_in_name="ines", phrase="not it at all")

    fail()
    assert accounts.locked_among([coach, member]) == {member.pk}
    with pytest.raises(refusals.LockedOut):
        sign_in.prove(request=request(), sign_in_name="ines", phrase=PHRASE)
    with pytest.raises(refusals.NotAllowed):
        accounts.lift_lock(by=outsider, membership=member)
    for _ in range(accounts.LIFTS_AN_HOUR):
        accounts.lift_lock(by=coach, membership=member)
    assert accounts.locked_among([coach, member]) == set()
    assert sign_in.prove(request=request(), sign_in_name="ines", phrase=PHRASE) == member.person
    fail()
    with pytest.raises(refusals.NotAllowed, match="card"):
        accounts.lift_lock(by=coach, membership=member)


def test_names_are_the_same_in_every_case(member) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        Person.objects.create_person("INES", PHRASE)
    assert Person.objects.get_by_natural_key(" iNeS ") == member.person


def test_the_owner_stays_and_coaches_are_archived_by_the_owner(owner, coach, member) -> None:
    with pytest.raises(refusals.NotAllowed):
        accounts.archive_membership(by=owner, membership=owner)
    with pytest.raises(refusals.NotAllowed):
        accounts.archive_membership(by=coach, membership=coach)
    assert accounts.archive_membership(by=coach, membership=member).standing == "archived"
    assert accounts.archive_membership(by=owner, membership=coach).standing == "archived"
