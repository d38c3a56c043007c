"""Who reads which question, and of which challenges anybody is told."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from training import visibility
from training.models import Challenge, Kind, Membership, Question, Role
from training.rules import Sight
from training.visibility import OwnPlans, Sealed

pytestmark = pytest.mark.django_db

HOUR = timedelta(hours=1)


@pytest.fixture
def asked(given, member, second):
    """A question of each of two members about an open set and about a closed one."""
    open_set = given.a_set()
    closed = given.a_set(opens=NOON - 37 * HOUR, closes=NOON - 13 * HOUR)
    return {
        (who.display_name, name): Question.objects.create(
            membership=who, scramble=given.scramble(one, 1), words="Why?", asked_at=NOON
        )
        for who in (member, second)
        for name, one in (("open", open_set), ("closed", closed))
    }


def read_by(viewer: Membership, asked) -> set[tuple[str, str]]:
    """What the list holds; each half of the rule about one question says the same."""
    listed = set(visibility.questions(viewer, NOON))
    for one in asked.values():
        assert visibility.sees_question(viewer, one, NOON) is (one in listed)
        if one in listed:
            visibility.require_question(viewer, one, NOON)
        else:
            with pytest.raises(Sealed):
                visibility.require_question(viewer, one, NOON)
    return {name for name, one in asked.items() if one in listed}


def test_members_read_their_own_and_coaches_everybodys(asked, member, coach, outsider) -> None:
    assert read_by(member, asked) == {("Ines", "open"), ("Ines", "closed")}
    assert read_by(coach, asked) == set(asked)
    assert read_by(outsider, asked) == set()


def test_a_coach_who_competes_reads_of_an_open_set_the_own_alone(given, club, asked) -> None:
    rune = make_membership(club, "Rune", Role.COACH, competes=True)
    of_open = next(one.scramble for (_, name), one in asked.items() if name == "open")
    asked["Rune", "open"] = Question.objects.create(
        membership=rune, scramble=of_open, words="And mine?", asked_at=NOON
    )
    own_and_closed = {("Rune", "open"), ("Ines", "closed"), ("Bashir", "closed")}
    assert read_by(rune, asked) == own_and_closed
    # Who stops competing is still in the sets that had opened by then, and not in later ones.
    opened = of_open.scramble_set.opens_at
    for stopped, reads in (
        (opened + HOUR, own_and_closed),
        (opened, set(asked)),
        (opened - HOUR, set(asked)),
    ):
        rune.competes, rune.stopped_competing_at = False, stopped
        rune.save()
        assert read_by(rune, asked) == reads
        assert visibility.in_sealed_mode(rune, of_open.scramble_set, NOON) is (
            reads == own_and_closed
        )


def test_a_challenge_is_told_of_from_its_announcement_on_newest_first(
    given, member, outsider
) -> None:
    made = []
    for days in (1, 2, 3):
        a_set = given.a_set(
            opens=NOON + timedelta(days=days),
            closes=NOON + timedelta(days=days + 3),
            kind=Kind.CHALLENGE,
        )
        made.append(
            Challenge.objects.create(
                scramble_set=a_set, number=days, announced_at=NOON + (days - 2) * HOUR
            )
        )
    assert list(visibility.challenges(member, NOON)) == [made[1], made[0]]
    assert list(visibility.challenges(member, NOON - HOUR)) == [made[0]]
    assert list(visibility.challenges(member, NOON + HOUR)) == made[::-1]
    assert list(visibility.challenges(outsider, NOON + HOUR)) == []


def test_open_answers_do_not_open_a_table_that_opens_later(given, member) -> None:
    a_set = given.a_set(answers_to=Sight.OPEN, table_to=Sight.CLOSING)
    own = OwnPlans(frozenset(range(1, 6)), frozenset(range(1, 6)))
    assert visibility.sees_answers(member, a_set, 1, own, NOON)
    assert not visibility.sees_table(member, a_set, own, NOON)
    assert visibility.sees_table(member, a_set, own, a_set.closes_at)
