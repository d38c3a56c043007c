"""Putting right names, roles and ages; consent noted, taken back, noted anew."""

from __future__ import annotations

import pytest

from tests.conftest import make_membership
from training import policies, rights
from training.agreement import CURRENT
from training.models import Deed, Membership, Person, Role, Standing
from training.refusals import InvalidEntry, NoLongerPossible, NotAllowed
from training.services import accounts, particulars

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]


def done() -> list[tuple[str, str]]:
    return [(one.what, one.detail) for one in Deed.objects.order_by("pk")]


# Names ------------------------------------------------------------------------


def test_a_coach_renames_a_member_and_a_member_oneself(coach, member, second, outsider) -> None:
    particulars.rename(by=coach, membership=member, display_name="  Inés   B ")
    assert member.display_name == "Inés B"
    particulars.rename(by=member, membership=member, display_name="INÉS B")
    particulars.rename(by=member, membership=member, display_name="INÉS B")
    assert Membership.objects.get(pk=member.pk).display_name == "INÉS B"
    for by in (second, outsider):
        with pytest.raises(NotAllowed):
            particulars.rename(by=by, membership=member, display_name="Somebody")
    assert done() == [("renamed", ""), ("renamed", "")]


def test_a_name_that_somebody_has_is_refused_and_nothing_is_stored(coach, member, second) -> None:
    for name in ("bashir", "", "x" * 41):
        with pytest.raises(InvalidEntry) as refused:
            particulars.rename(by=coach, membership=member, display_name=name)
        assert refused.value.field == "display_name"
    assert Membership.objects.get(pk=member.pk).display_name == "Ines"
    assert done() == []


def test_the_sign_in_name_is_the_persons_own_to_change(member, second) -> None:
    particulars.change_sign_in_name(person=member.person, sign_in_name="ines-b")
    assert Person.objects.get(pk=member.person_id).sign_in_name == "ines-b"
    for name in ("BASHIR", "two words", ""):
        with pytest.raises(InvalidEntry):
            particulars.change_sign_in_name(person=member.person, sign_in_name=name)
    member.person.opened_clubs = frozenset({member.club_id})
    with pytest.raises(NotAllowed):
        particulars.change_sign_in_name(person=member.person, sign_in_name="other")
    assert done() == [("sign_in_name", "")]


# Roles ------------------------------------------------------------------------


def test_the_owner_makes_coaches_members_and_a_second_owner(owner, coach, member) -> None:
    particulars.change_role(by=owner, membership=member, role=Role.COACH)
    particulars.change_role(by=owner, membership=coach, role=Role.OWNER)
    particulars.change_role(by=owner, membership=member, role=Role.MEMBER)
    particulars.change_role(by=coach, membership=owner, role=Role.MEMBER)
    owner.refresh_from_db()
    assert (owner.role, owner.competes) == (Role.MEMBER, True)
    assert [detail for _, detail in done()] == ["coach", "owner", "member", "member"]


def test_nobody_else_says_who_coaches(owner, coach, member, outsider) -> None:
    for by in (coach, member, outsider):
        with pytest.raises(NotAllowed):
            particulars.change_role(by=by, membership=member, role=Role.COACH)
    with pytest.raises(InvalidEntry):
        particulars.change_role(by=owner, membership=member, role="king")


def test_a_club_is_never_without_an_owner(owner, coach, member) -> None:
    with pytest.raises(NoLongerPossible, match="Make somebody else an owner first"):
        particulars.change_role(by=owner, membership=owner, role=Role.COACH)
    particulars.hand_over(by=owner, membership=coach)
    owner.refresh_from_db()
    assert (owner.role, coach.role) == (Role.COACH, Role.OWNER)
    with pytest.raises(NotAllowed):
        particulars.hand_over(by=owner, membership=member)


def test_whoever_cannot_get_in_does_not_get_the_club(owner, member) -> None:
    Membership.objects.filter(pk=member.pk).update(standing=Standing.ARCHIVED)
    with pytest.raises(NotAllowed, match="archived"):
        particulars.hand_over(by=owner, membership=member)
    owner.refresh_from_db()
    assert owner.role == Role.OWNER


# Age and consent --------------------------------------------------------------------


def test_a_wrongly_ticked_age_is_put_right_both_ways(coach, member) -> None:
    particulars.mark_age(by=coach, membership=member, under_18=True)
    assert policies.waits_for_consent(member)
    particulars.mark_age(by=coach, membership=member, under_18=False)
    assert rights.may_enter(member)
    assert done() == [("age", "under_18"), ("age", "adult")]


def test_a_child_does_not_make_itself_an_adult(club, coach, member) -> None:
    child = make_membership(club, "Pim", standing=Standing.CONSENT, under_18=True)
    with pytest.raises(NotAllowed):
        particulars.mark_age(by=child, membership=child, under_18=False)
    archived = make_membership(club, "Arvid", standing=Standing.ARCHIVED, under_18=True)
    particulars.mark_age(by=coach, membership=archived, under_18=False)
    assert archived.standing == Standing.ARCHIVED


def test_a_consent_taken_back_closes_the_account_until_a_new_one(club, coach) -> None:
    child = make_membership(club, "Pim", standing=Standing.CONSENT, under_18=True)
    accounts.note_consent(by=coach, membership=child, note="mother, signed form")
    assert (child.consent_text, rights.may_enter(child)) == (CURRENT, True)
    accounts.withdraw_consent(by=coach, membership=child)
    assert policies.consent_was_withdrawn(child)
    assert not rights.may_enter(child)
    assert child.consent_note == "mother, signed form"
    with pytest.raises(NoLongerPossible):
        accounts.withdraw_consent(by=coach, membership=child)
    accounts.archive_membership(by=coach, membership=child)
    accounts.reopen_membership(by=coach, membership=child)
    assert not rights.may_enter(child)
    accounts.note_consent(by=coach, membership=child, note="mother, by telephone")
    assert rights.may_enter(child)


def test_a_consent_of_another_club_is_not_theirs_to_take_back(club, outsider, coach) -> None:
    child = make_membership(club, "Pim", standing=Standing.CONSENT, under_18=True)
    accounts.note_consent(by=coach, membership=child, note="mother, signed form")
    with pytest.raises(NotAllowed):
        accounts.withdraw_consent(by=outsider, membership=child)


def test_a_text_that_somebody_agreed_to_is_never_changed() -> None:
    """A new text gets a new number. SHA-256 of each, pinned here when it came."""
    import hashlib

    from training.agreement import TEXTS

    pinned = {
        1: "e57ce08ca95ce03edb7533e25f4346e3bee329bc22e6d44d09f82518dc10930e",
    }
    found = {n: hashlib.sha256(str(text).encode()).hexdigest() for n, text in TEXTS.items()}
    assert found == pinned
