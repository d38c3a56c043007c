"""Crosses of a lesson: who is a model, who did without, and what stands where nobody is one.

Sources: the definitions' worked examples (their own); the rest are the project's own rules.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from solverworker.causes import IDEAS
from solverworker.review import check_plan
from tests.conftest import NOON, make_membership
from tests.history import BASE_TURN, past
from training.selectors import lessons
from training.selectors.lesson_crosses import Shows, shows

pytestmark = pytest.mark.django_db


def test_a_lesson_shows_where_it_cost_most_with_plans_that_answered_and_one_that_did_not(
    given, club, coach
) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D", "D R"))
    for n in range(3):
        past(given, make_membership(club, f"Sure{n}"), a_set, "D' R'", "R' D'")
    past(given, make_membership(club, "Unsure"), a_set, BASE_TURN[2], "R' D'")
    found = lessons.lesson(coach, "base_turn", NOON)
    (costly,) = found.scrambles
    assert (costly.text, costly.lost) == ("R D", 3.0)
    # Three wrote the same: it is shown once.
    assert [plan.shows for plan in costly.plans] == ["answered", "did_without"]
    assert costly.plans[1].member == "Unsure"
    assert costly.way is None


def test_two_plans_that_answered_differ_where_they_can(given, club, coach) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",))
    for name, plan in (("A", "D' R'"), ("B", "D' R'"), ("C", "z2 U' L'"), ("D", BASE_TURN[2])):
        past(given, make_membership(club, name), a_set, plan)
    (costly,) = lessons.lesson(coach, "base_turn", NOON).scrambles
    assert [one.canonical for one in costly.plans] == ["D' R'", "z2 U' L'", BASE_TURN[2]]


def test_a_plan_that_lost_moves_elsewhere_is_no_model(given, club, coach) -> None:
    """Then a shortest way stands there: the group would learn the lost moves too."""
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",))
    for name, plan in (("C", "U D' U' R'"), ("D", BASE_TURN[2])):
        past(given, make_membership(club, name), a_set, plan)
    (costly,) = lessons.lesson(coach, "base_turn", NOON).scrambles
    assert [(one.member, one.shows) for one in costly.plans] == [("D", "did_without")]
    assert costly.way is not None
    assert (costly.way.way.text, costly.way.after) == ("D' R'", "")


FROM_WITHIN = ("L' F' R U B' L", "F2 D' F' L' F' B R' L2")
"""Yellow cross: lost moves to a base turn after its first move, and no shortest way has one."""

WORKED = [
    # The definitions' worked examples: scramble, plan, ideas that its rest did without from where
    # they were called for, ideas that it lost moves to. In the last, moves are lost to relative
    # build and to a step aside which were called for and not answered; to a shared turn too.
    (
        "F2 B U2 D' U2 L R D L' F' B L U D",
        "D2 B' D F L U' F2 B",
        {"relative_build"},
        {"relative_build"},
    ),
    (
        "D' R' D' L F2 L' F2 B' L' R2 F' U' L B",
        "F' R' B' U' L2 F' B2",
        {"base_turn", "relative_build", "shared_turn"},
        {"base_turn", "relative_build", "shared_turn"},
    ),
    (
        "L2 R' L2 F' U' F R L F2 L B2 F' U B2",
        "D L D' L' D L' D' F' U' B2",
        {"relative_build", "shared_turn"},
        {"relative_build", "shared_turn", "step_aside"},
    ),
]


@pytest.mark.parametrize(("scramble", "plan", "without", "lost_to"), WORKED)
def test_who_did_without_had_it_called_for_and_never_answered(
    scramble, plan, without, lost_to
) -> None:
    report = check_plan(scramble, plan, colours=["yellow"])
    assert report.techniques is not None
    assert set(dict(report.techniques.blame)) & set(IDEAS) == lost_to
    found = {code for code in IDEAS if shows(code, report) is Shows.WITHOUT}
    assert found == without
    # Nor is a plan that is not exact a model of anything.
    assert {shows(code, report) for code in IDEAS} <= {None, Shows.WITHOUT}


def test_a_way_from_where_a_plan_did_without(given, club, coach) -> None:
    """No shortest way from the start has the idea, which a position of the plan called for."""
    scramble, plan = FROM_WITHIN
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=(scramble,))
    past(given, make_membership(club, "D"), a_set, plan)
    report = check_plan(scramble, plan, colours=["yellow"])
    assert not any(one.technique == "base_turn" for way in report.shortest for one in way.ideas)
    (costly,) = lessons.lesson(coach, "base_turn", NOON).scrambles
    assert costly.way is not None
    moves = plan.split()
    assert costly.way.after in {" ".join(moves[:count]) for count in range(1, len(moves))}
    whole = check_plan(scramble, f"{costly.way.after} {costly.way.way.text}", colours=["yellow"])
    assert whole.solved
    assert "base_turn" in whole.techniques.used
