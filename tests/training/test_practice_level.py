"""Own practice: what comes first, how long its crosses are, in which shape, and going on."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from solverworker import review
from solverworker.cube.colours import CENTRE_OF_COLOUR
from solverworker.cube.holds import HOLDS
from solverworker.cube.variants import crosses, held
from solverworker.report import COLOURS
from tests.conftest import NOON
from tests.training.test_practice import drawer, note_of
from training.ladder import Ladder
from training.models import (
    PracticeDue,
    Scramble,
    TechniqueCount,
)
from training.selectors import practice as practice_selectors
from training.selectors.practice import practice_of
from training.services.practice import MORE, go_on, prepare
from training.services.sets import fill_picked

pytestmark = pytest.mark.django_db

TODAY = date(2026, 11, 25)
WITHOUT_BASE_TURN = "R U' R' B2 D'"


def test_what_is_due_comes_by_moves_lost(given, member) -> None:
    """Not by the alphabet: most was lost to the last of these three."""
    a_set = given.a_set()
    for code, lost in (("base_turn", 1.0), ("relative_build", 2.5), ("shared_turn", 6.0)):
        PracticeDue.objects.create(membership=member, code=code, due_on=TODAY)
        TechniqueCount.objects.create(
            membership=member, scramble_set=a_set, code=code, called=3, answered=0, lost=lost
        )
    made = prepare(membership=member, now=NOON)
    assert made.drawn_to.techniques == ("shared_turn", "relative_build")
    assert [one.code for one in practice_of(member, NOON).due_now] == [
        "shared_turn",
        "relative_build",
        "base_turn",
    ]


def practised(given, member, day: int, results: str) -> None:
    """A practice of crosses of two moves some days from today: exact ones and others."""
    at = NOON + timedelta(days=day)
    made = prepare(membership=member, now=at)
    made.scrambles.all().delete()
    for number, exact in enumerate(results, start=1):
        Scramble.objects.create(scramble_set=made, number=number, text="R D")
        given.a_plan(member, made, number, "D' R'" if exact == "1" else "U D' R'", at=at)


def rung_on(member, day: int) -> tuple[int, int]:
    return prepare(membership=member, now=NOON + timedelta(days=day)).drawn_to.lengths


def test_the_ladder_climbs_with_eight_exact_of_the_last_ten(given, member) -> None:
    practised(given, member, 0, "11100")
    practised(given, member, 1, "1111")
    assert rung_on(member, 2) == (2, 2), "seven of nine"
    practised(given, member, 3, "1")
    assert practice_of(member, NOON + timedelta(days=3)).ladder == Ladder(2, 10, 8)
    assert rung_on(member, 4) == (3, 3)
    assert practice_of(member, NOON + timedelta(days=4)).ladder == Ladder(3, 0, 0)
    # Nothing was tried on the new rung: it stays.
    assert rung_on(member, 5) == (3, 3)


def test_seven_exact_of_the_last_ten_are_not_enough(given, member) -> None:
    practised(given, member, 0, "1110010111")
    assert rung_on(member, 1) == (2, 2)


def test_practice_is_one_beyond_the_reach(given, member, monkeypatch) -> None:
    found = {}

    def reach_is(reach):
        real = practice_selectors.member_review

        def review(*args, **named):
            one = real(*args, **named)
            steps = (1.0,) * reach + (0.4,) * (8 - reach)
            account = replace(one.account, reach=replace(one.account.reach, at_least=steps))
            return replace(one, account=account)

        return review

    for day, reach in enumerate((1, 3, 5, 8)):
        with monkeypatch.context() as patched:
            patched.setattr(practice_selectors, "member_review", reach_is(reach))
            found[reach] = rung_on(member, day)
    # A beginner's ladder starts at what is seen, not below two moves.
    assert found == {1: (2, 2), 3: (3, 3), 5: (6, 6), 8: (7, 8)}


def test_one_long_exact_plan_is_no_reach_yet(given, member) -> None:
    """A step with fewer than five plans at risk says nothing: the ladder begins at two."""
    a_set = given.a_set(
        opens=NOON - timedelta(days=2),
        closes=NOON - timedelta(days=1),
        scrambles=("F2 B U2 D' U2 L R D L' F' B L U D",),
    )
    given.a_plan(member, a_set, 1, "F D2 R L B D", at=NOON - timedelta(days=1, hours=12))
    assert rung_on(member, 0) == (2, 2)


def test_a_missed_cross_that_is_too_long_does_not_come_back_itself(given, member) -> None:
    """A beginner is never alone with a long one: a short one stands for the idea."""
    long = "F2 B U2 D' U2 L R D L' F' B L U D"
    a_set = given.a_set(
        opens=NOON - timedelta(hours=13), closes=NOON + timedelta(hours=11), scrambles=(long,)
    )
    given.a_plan(member, a_set, 1, "D2 B' D F L U' F2 B", at=NOON)
    assert [code for code, _step, _day in note_of(member)] == ["relative_build"]
    made = prepare(membership=member, now=NOON + timedelta(days=1))
    assert made.scrambles.count() == 0
    assert made.drawn_to.fresh == ("relative_build", "relative_build")
    assert made.drawn_to.lengths == (2, 2)


@pytest.mark.parametrize("colour", COLOURS)
def test_a_missed_cross_comes_back_in_a_new_shape_each_time(given, club, member, colour) -> None:
    club.colours = [colour]
    club.save()
    yellow, centre = CENTRE_OF_COLOUR["yellow"], CENTRE_OF_COLOUR[colour]
    scramble = held("R D", next(n for n, hold in enumerate(HOLDS) if hold.index(yellow) == centre))
    had = [scramble]
    PracticeDue.objects.create(
        membership=member, code="base_turn", due_on=TODAY, missed_plan=a_miss(given, member, had[0])
    )
    for day in range(1, 5):
        made = prepare(membership=member, now=NOON + timedelta(days=day))
        shape = made.scrambles.get().text
        had.append(shape)
        solved = review.solve(shape, colours=[colour])[colour]
        assert solved.best == 2
    assert len({crosses(text, [colour]) for text in had}) == 5


def a_miss(given, member, scramble: str):
    a_set = given.a_set(opens=NOON - timedelta(days=3), scrambles=(scramble,))
    return given.a_plan(member, a_set, 1, None)


def test_practice_goes_on_if_one_wants(given, member) -> None:
    PracticeDue.objects.create(membership=member, code="base_turn", due_on=TODAY)
    made = prepare(membership=member, now=NOON)
    fill_picked(drawer=drawer, now=NOON)
    go_on(membership=member, now=NOON)
    made.refresh_from_db()
    assert made.scrambles_wanted == 2, "these two come first"
    for more in range(3):
        for number in (1, 2):
            given.a_plan(member, made, MORE * more + number, None)
        assert practice_of(member, NOON).done
        go_on(membership=member, now=NOON)
        go_on(membership=member, now=NOON)
        made.refresh_from_db()
        assert made.scrambles_wanted == 2 + MORE * (more + 1)
        assert fill_picked(drawer=drawer, now=NOON) == MORE
        assert made.drawn_to.called_by(made.scrambles_wanted) == "base_turn"
        assert not practice_of(member, NOON).done
    assert made.scrambles.count() == 8
