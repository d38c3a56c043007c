"""What a member's plans leave, added up: sums by hand, colours, one query."""

from __future__ import annotations

import pytest

from solverworker import tasks
from solverworker.outlook import OnTheHands, PairAhead, PairLeft, PlanOutlook
from solverworker.report import COLOURS
from tests.conftest import NOON
from training.models import Plan, PlanStatus, Verdict
from training.outlooks import LookedAt, habits_of, saved_by
from training.selectors.outlooks import outlook_habits
from training.services import outlooks
from training.services.corrections import withdraw_plan
from training.statistics import Tally

pytestmark = pytest.mark.django_db


def looked(far=(6,) * 6, colours=("yellow",), solved="yellow", **parts) -> LookedAt:
    return LookedAt(PlanOutlook(distances=far, **parts), colours, solved)


def pair_left(moves, left) -> PairLeft:
    return PairLeft(moves=moves, left=left, slot="green-red", way="", then="")


def hands(ways, easier) -> OnTheHands:
    return OnTheHands(cost=9, least=5, ways=ways, easier=easier, way="")


def ahead(solved, whole) -> PairAhead:
    return PairAhead(
        solved=solved,
        slot="",
        moves=4,
        from_cross=4,
        from_cross_way="",
        whole=whole,
        best=9,
        best_way="",
    )


def test_what_plans_leave_is_added_up_by_hand() -> None:
    found = habits_of(
        [
            looked(
                own=pair_left(6, 6),
                shortest=pair_left(6, 3),
                longer=pair_left(7, 3),
                hands=hands(12, 4),
                pair_ahead=ahead(True, 9),
            ),
            looked(
                own=pair_left(6, 3),
                shortest=pair_left(6, 3),
                longer=pair_left(7, 1),
                hands=hands(3, 0),
                pair_ahead=ahead(True, 11),
            ),
            # The only shortest way is no choice.
            looked(
                own=pair_left(5, 4),
                shortest=pair_left(5, 4),
                longer=pair_left(6, 3),
                hands=hands(1, 0),
            ),
            # One longer than the best may leave less than any shortest.
            looked(own=pair_left(7, 2), shortest=pair_left(6, 3), longer=pair_left(7, 2)),
            looked(solved=None, pair_ahead=ahead(False, 9)),
        ],
        awaited=2,
    )
    assert (found.solved, found.left, found.least, found.crosses) == (4, 15, 13, 5)
    assert found.nearest == Tally(3, 4)
    assert found.longer_pays == 1
    assert found.hands == Tally(1, 2)
    assert (found.pairs, found.pairs_in, found.pairs_best, found.awaited) == (3, 2, 1, 2)


def test_one_more_colour_saves_what_its_cross_is_shorter_than_the_best_of_the_own() -> None:
    # white, yellow, green, blue, red, orange
    plans = [
        looked(far=(6, 5, 6, 4, 7, 6), colours=("yellow",), solved="yellow"),
        looked(far=(4, 6, 5, 7, 6, 6), colours=COLOURS, solved="yellow"),
        # Not solved: the cross could have been planned all the same.
        looked(far=(6, 7, 5, 7, 7, 7), colours=("yellow", "white"), solved=None),
    ]
    assert habits_of(plans).own_colours == ("yellow",)
    assert dict(saved_by(plans, ["yellow"])) == {
        "white": 0 + 2 + 1,
        "green": 0 + 1 + 2,
        "blue": 1 + 0 + 0,
        "red": 0,
        "orange": 0,
    }
    # Whoever plans white too has had those already; yellow's six is then not the best.
    assert dict(saved_by(plans, ["white", "yellow"])) == {
        "green": 1,
        "blue": 1,
        "red": 0,
        "orange": 0,
    }
    # Of a set that allows none of the own colours: the best of those allowed.
    other = looked(far=(6, 5, 6, 4, 7, 6), colours=("red", "orange"), solved=None)
    assert dict(saved_by([other], ["yellow"]))["blue"] == 2


def test_a_members_plans_are_looked_at_in_one_query_and_withdrawn_ones_are_not(
    given, coach, member, django_assert_num_queries
) -> None:
    a_set = given.a_set()
    for number, moves in enumerate(("D' R'", "R' D'", None), start=1):
        given.a_plan(member, a_set, number, moves)
    outlooks.work(make=tasks.outlook_maker)
    last = given.a_plan(member, a_set, 4, "R' F'")
    verdicts = Verdict.objects.counting().filter(plan__scramble__scramble_set=a_set)
    with django_assert_num_queries(1):
        found = outlook_habits(member, verdicts)
    assert (found.crosses, found.solved, found.awaited) == (3, 2, 1)
    withdraw_plan(plan=last, by=coach, reason="Seen before.", now=NOON)
    assert outlook_habits(member, verdicts).awaited == 0
    assert Plan.objects.get(pk=last.pk).status == PlanStatus.WITHDRAWN
