"""Who may do what: each rule asked by its two halves, for everybody of the cast."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.conftest import NOON, make_membership
from training import rights
from training.models import Club, Membership, Person, Role, Standing
from training.refusals import InvalidEntry, NotAllowed
from training.services import accounts

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast(club, owner, coach, member, second, outsider) -> dict[str, Membership]:
    """Everybody who could ask. A coach who is archived or whose account is shut is no coach."""
    shut = make_membership(club, "Shut", Role.COACH)
    Person.objects.filter(pk=shut.person_id).update(is_active=False)
    shut.person.refresh_from_db()
    return {
        "owner": owner,
        "coach": coach,
        "competing": make_membership(club, "Rune", Role.COACH, competes=True),
        "gone": make_membership(club, "Gone", Role.COACH, standing=Standing.ARCHIVED),
        "shut": shut,
        "member": member,
        "second": second,
        "child": make_membership(club, "Wee", under_18=True, standing=Standing.CONSENT),
        "outsider": outsider,
    }


def halves_agree(may: Callable[..., bool], require: Callable[..., None], *asked, **more) -> bool:
    """What both halves of a rule say; the test fails where they differ."""
    answer = may(*asked, **more)
    if answer:
        require(*asked, **more)
    else:
        with pytest.raises(NotAllowed) as refused:
            require(*asked, **more)
        assert refused.value.message.endswith(".")
        assert refused.value.status == 403
    return answer


def allowed(cast, may, require, *asked, **more) -> set[str]:
    return {name for name, by in cast.items() if halves_agree(may, require, by, *asked, **more)}


def test_open_accounts_come_in(cast) -> None:
    assert allowed(cast, rights.may_enter, rights.require_enter) == {
        *("owner", "coach", "competing", "member", "second", "outsider")
    }


def test_coaches_coach_their_own_club_while_their_account_is_open(cast, club, other_club) -> None:
    pair = rights.may_coach, rights.require_coach
    assert allowed(cast, *pair) == {"owner", "coach", "competing", "outsider"}
    assert allowed(cast, *pair, club_id=club.pk) == {"owner", "coach", "competing"}
    assert allowed(cast, *pair, club_id=other_club.pk) == {"outsider"}


def test_a_club_is_its_owners(cast, club, other_club) -> None:
    pair = rights.may_own, rights.require_own
    assert allowed(cast, *pair) == allowed(cast, *pair, club_id=club.pk) == {"owner"}
    assert allowed(cast, *pair, club_id=other_club.pk) == set()


def test_coaches_invite_members_and_the_owner_coaches(cast) -> None:
    pair = rights.may_invite, rights.require_invite
    assert allowed(cast, *pair, Role.MEMBER) == {"owner", "coach", "competing", "outsider"}
    assert allowed(cast, *pair, Role.COACH) == {"owner"}


@pytest.mark.parametrize(
    ("whose", "managed", "archived"),
    [
        ("member", {"owner", "coach", "competing"}, {"owner", "coach", "competing"}),
        ("child", {"owner", "coach", "competing"}, {"owner", "coach", "competing"}),
        ("coach", {"owner"}, {"owner"}),
        ("gone", {"owner"}, {"owner"}),
        ("owner", {"owner"}, set()),
        ("outsider", set(), set()),
    ],
)
def test_coaches_look_after_members_and_the_owner_after_coaches(
    cast, whose, managed, archived
) -> None:
    one = cast[whose]
    assert allowed(cast, rights.may_manage, rights.require_manage, one) == managed
    assert allowed(cast, rights.may_make_code, rights.require_make_code, one) == managed
    assert allowed(cast, rights.may_archive, rights.require_archive, one) == archived
    for pair in (
        (rights.may_let_in, rights.require_let_in),
        (rights.may_mark_age, rights.require_mark_age),
        (rights.may_lift_lock, rights.require_lift_lock),
    ):
        assert allowed(cast, *pair, one) == managed
    # As who is archived is: nobody but an owner erases a coach, and an owner nobody.
    assert allowed(cast, rights.may_erase, rights.require_erase, one) == archived
    # One's own name and data are one's own.
    assert allowed(cast, rights.may_export, rights.require_export, one) == managed | {whose}
    assert allowed(cast, rights.may_rename, rights.require_rename, one) == managed | {whose}


def test_the_owner_says_who_coaches_and_reads_the_log(cast) -> None:
    pair = (rights.may_change_role, rights.require_change_role)
    for whose, one in cast.items():
        assert allowed(cast, *pair, one) == (set() if whose == "outsider" else {"owner"})
    assert allowed(cast, rights.may_read_log, rights.require_read_log) == {"owner"}


def halves_agree_on(may, require, *asked) -> bool:
    """As :func:`halves_agree`, of rules about a person, whose refusals may be an entry's."""
    answer = may(*asked)
    if answer:
        require(*asked)
    else:
        with pytest.raises((NotAllowed, InvalidEntry)):
            require(*asked)
    return answer


def test_what_a_one_time_code_opens_and_permits(cast, club, other_club) -> None:
    person = Person.objects.get(pk=cast["member"].person_id)
    assert (person.opened_clubs, person.must_choose_phrase) == (None, False)
    about = [
        (rights.may_answer_for_all, rights.require_answer_for_all, person),
        (rights.may_join, rights.require_join, person),
        (rights.may_open, rights.require_open, person, club.pk),
        (rights.may_open, rights.require_open, person, other_club.pk),
    ]
    assert [halves_agree_on(*one) for one in about] == [True] * 4
    person.opened_clubs = frozenset({club.pk})
    assert [halves_agree_on(*one) for one in about] == [False, False, True, False]
    person.opened_clubs, person.must_choose_phrase = None, True
    assert [halves_agree_on(*one) for one in about] == [True, False, True, True]


@pytest.mark.parametrize(
    ("codes", "devices", "chosen"),
    [
        ((), (), False),
        (("here",), (), False),
        (("there",), (), False),
        (("here", "there"), (), True),
        (("here",), ("there",), True),
        ((), ("here", "there"), False),
        (("here",), ("here",), False),
    ],
)
def test_a_phrase_is_chosen_by_a_code_or_a_known_device_for_each_club(
    cast, club, other_club, codes, devices, chosen
) -> None:
    numbers = {"here": club.pk, "there": other_club.pk}
    person = Person.objects.get(pk=cast["member"].person_id)
    Membership.objects.create(club=other_club, person=person, display_name="Ines")
    # A third club, of others alone, asks for no code.
    third = Club.objects.create(name="Third Pier", slug="third-pier", time_zone="Europe/Oslo")
    make_membership(third, "Stranger")
    assert rights.clubs_of(person) == {club.pk, other_club.pk}
    person.code_clubs = frozenset(numbers[one] for one in codes)
    person.device_clubs = frozenset(numbers[one] for one in devices)
    pair = (rights.may_choose_phrase, rights.require_choose_phrase)
    assert halves_agree_on(*pair, person) is chosen


@pytest.mark.parametrize("role", [Role.COACH, Role.OWNER, Role.MEMBER])
def test_a_code_for_somebody_of_two_clubs_opens_the_makers_alone(cast, other_club, role) -> None:
    Membership.objects.create(
        club=other_club, person=cast["member"].person, display_name="I", role=role
    )
    pair = rights.may_make_code, rights.require_make_code
    assert allowed(cast, *pair, cast["member"]) == {"owner", "coach", "competing"}
    person = cast["member"].person
    person.opened_clubs = person.code_clubs = frozenset({cast["member"].club_id})
    assert rights.may_open(person, cast["member"].club_id)
    assert not rights.may_open(person, other_club.pk)
    rights.require_open(person, cast["member"].club_id)
    with pytest.raises(NotAllowed):
        rights.require_open(person, other_club.pk)
    assert not rights.may_choose_phrase(person)


def test_whoever_runs_the_server_lets_an_owner_in_who_coaches_elsewhere_too(
    owner, other_club
) -> None:
    Membership.objects.create(
        club=other_club, person=owner.person, display_name="Odd", role=Role.OWNER
    )
    assert accounts.make_owner_code(sign_in_name="ODD", now=NOON)


def refused(require: Callable[..., None], *asked: object, **more: object) -> str:
    with pytest.raises(NotAllowed) as refusal:
        require(*asked, **more)
    return refusal.value.message


def test_everybody_is_told_the_reason_that_concerns_them(cast) -> None:
    # Somebody who is no coach at all hears so, not what only an owner may do.
    member, coach, other = cast["member"], cast["coach"], cast["outsider"]
    no_coach = "This is for the coaches of the club."
    assert refused(rights.require_invite, member, Role.COACH) == no_coach
    assert refused(rights.require_invite, coach, Role.COACH).startswith("Only the owner")
    for require in (rights.require_manage, rights.require_archive, rights.require_make_code):
        for stranger in (member, other):
            assert refused(require, stranger, coach) == no_coach
        assert "coach’s account" in refused(require, coach, cast["owner"])
    assert "owner’s account stays open" in refused(
        rights.require_archive, cast["owner"], cast["owner"]
    )
    assert refused(rights.require_own, coach) == "This is for the owner of the club."
    assert "archived" in refused(rights.require_enter, cast["gone"])
    assert "waits for a parent" in refused(rights.require_enter, cast["child"])
    cast["child"].consent_withdrawn_at = NOON
    assert "took the consent back" in refused(rights.require_enter, cast["child"])
    assert "not open" in refused(rights.require_enter, cast["shut"])


def test_a_coach_says_of_oneself_whether_one_competes_and_the_owner_of_everybody(cast) -> None:
    def choosing(of: str) -> set[str]:
        return {
            name
            for name, by in cast.items()
            if halves_agree(
                rights.may_choose_competing, rights.require_choose_competing, by, cast[of]
            )
        }

    assert choosing("coach") == {"coach", "owner"}
    assert choosing("competing") == {"competing", "owner"}
    assert choosing("member") == {"coach", "competing", "owner"}
    assert choosing("owner") == {"owner"}
    assert choosing("outsider") == {"outsider"}
    # Who is no coach any more does not even say it of oneself.
    assert choosing("gone") == choosing("shut") == {"owner"}


@pytest.mark.parametrize(
    ("may", "require", "own"),
    [
        (rights.may_correct, rights.require_correct, "own_table"),
        (rights.may_confirm, rights.require_confirm, "own_table"),
        (rights.may_answer, rights.require_answer, "own"),
    ],
)
def test_a_coach_judges_the_own_only_where_no_other_coach_could(cast, may, require, own) -> None:
    coaches = {"owner", "coach", "competing", "outsider"}
    for mine, others, wanted in (
        (False, False, coaches),
        (False, True, coaches),
        (True, False, coaches),
        (True, True, set()),
    ):
        assert allowed(cast, may, require, **{own: mine, "others": others}) == wanted
    # Somebody who does not coach is told that, whoever else could.
    with pytest.raises(NotAllowed) as refused:
        require(cast["member"], **{own: True, "others": True})
    with pytest.raises(NotAllowed) as of_coach:
        require(cast["coach"], **{own: True, "others": True})
    assert refused.value.message != of_coach.value.message


def test_the_owner_alone_opens_posts_to_everybody(cast) -> None:
    assert allowed(cast, rights.may_publish, rights.require_publish) == {"owner"}


def test_an_owner_is_erased_by_nobody_and_a_coach_by_the_owner(cast) -> None:
    def erasing(of: str) -> set[str]:
        return {
            name
            for name, by in cast.items()
            if halves_agree(rights.may_erase, rights.require_erase, by, cast[of])
        }

    assert erasing("member") == {"owner", "coach", "competing"}
    assert erasing("coach") == {"owner"}
    assert erasing("owner") == set()
    # Who may not even look after the account is told that, not whose it is.
    with pytest.raises(NotAllowed) as by_a_member:
        rights.require_erase(cast["second"], cast["owner"])
    with pytest.raises(NotAllowed) as by_the_owner:
        rights.require_erase(cast["owner"], cast["owner"])
    assert by_a_member.value.message != by_the_owner.value.message


def test_a_newcomer_is_told_of_waiting_to_be_let_in(club) -> None:
    waiting = make_membership(club, "Noa", standing=Standing.WAITING)
    archived = make_membership(club, "Arvid", standing=Standing.ARCHIVED)
    said = []
    for one in (waiting, archived):
        with pytest.raises(NotAllowed) as refused:
            rights.require_enter(one)
        said.append(refused.value.message)
    assert "waits until a coach of the club lets you in" in said[0]
    assert said[0] != said[1]
