"""The table's rule: cap, order, equal ranks (WCA 9f12b, 9f14; product rules of the club)."""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from training import ranking, rules, statistics, visibility
from training.ranking import Score, mark_for
from training.reach import Ending
from training.yardsticks import Flag, Reading

POINTS = st.integers(0, 40)
SCORES = st.builds(Score, POINTS, st.integers(0, 5), st.integers(0, 5), st.just(5))


def test_equal_results_share_a_rank_and_the_next_counts_everybody_before_it() -> None:
    # Standard competition ranking of a worked list: 1 2 2 4 4 4 7.
    assert ranking.ranks([(n,) for n in (3, 5, 5, 9, 9, 9, 12)]) == [1, 2, 2, 4, 4, 4, 7]


@given(st.lists(st.integers(0, 12), min_size=1, max_size=40))
def test_ranks_equal_those_of_scipy(points: list[int]) -> None:
    # scipy.stats.rankdata(method="min") is standard competition ranking.
    expected = stats.rankdata(np.array(points), method="min").astype(int).tolist()
    assert ranking.ranks([(n,) for n in points]) == expected


@given(st.lists(SCORES, min_size=1, max_size=12))
def test_the_order_is_points_then_solved_then_exact(scores: list[Score]) -> None:
    ranks = ranking.ranks([one.order for one in scores])
    for mine, my_rank in zip(scores, ranks, strict=True):
        better = sum(
            1
            for other in scores
            if other.points < mine.points
            or (other.points == mine.points and other.solved > mine.solved)
            or (
                other.points == mine.points
                and other.solved == mine.solved
                and other.exact > mine.exact
            )
        )
        assert my_rank == better + 1


@given(st.integers(0, 100))
def test_trying_never_costs_more_than_not_trying(excess: int) -> None:
    assert mark_for(excess).points <= mark_for(None).points == 8


def test_no_plan_can_beat_the_best() -> None:
    with pytest.raises(ValueError, match="beats the best"):
        mark_for(-1)


def test_the_best_k_sets_are_the_best_by_the_tables_own_order() -> None:
    week = [Score(5, 5, 1, 5), Score(0, 5, 5, 5), Score(40, 0, 0, 5), Score(5, 5, 2, 5)]
    assert ranking.best_sets(week, 2) == (Score(0, 5, 5, 5), Score(5, 5, 2, 5))
    assert ranking.best_sets(week, None) == tuple(week)


def test_marks_add_up_one_by_one() -> None:
    # Worked by hand: 0, 2, 8 (not solved) and 8 (eleven over, capped) over four crosses.
    marks = [mark_for(0), mark_for(2), mark_for(None), mark_for(11)]
    assert ranking.score(marks) == Score(points=18, solved=3, exact=1, crosses=4)
    assert ranking.score([]) == Score(0, 0, 0, 0)


@given(st.lists(SCORES, max_size=8))
def test_a_total_is_the_sum_of_each_of_its_parts(scores: list[Score]) -> None:
    found = ranking.total(scores)
    assert found == Score(
        sum(one.points for one in scores),
        sum(one.solved for one in scores),
        sum(one.exact for one in scores),
        sum(one.crosses for one in scores),
    )


def test_of_equal_points_the_set_with_more_solved_counts() -> None:
    week = [Score(8, 4, 4, 5), Score(8, 5, 3, 5), Score(8, 5, 4, 5)]
    assert ranking.best_sets(week, 1) == (Score(8, 5, 4, 5),)
    assert ranking.best_sets(week, 2) == (Score(8, 5, 4, 5), Score(8, 5, 3, 5))


def test_means_are_exact_fractions() -> None:
    order = ranking.mean_order([Score(1, 5, 4, 5), Score(1, 5, 4, 5), Score(0, 4, 3, 5)])
    assert order == (Fraction(2, 3), Fraction(-14, 3), Fraction(-11, 3))
    with pytest.raises(ValueError, match="at least one"):
        ranking.mean_order([])


@pytest.mark.parametrize(
    "value",
    [
        Score(),
        ranking.UNSOLVED,
        statistics.Tally(1, 2),
        Reading(statistics.Tally(1, 2), 0.5, Flag.UNKNOWN, False),
        Ending(5, None),
        statistics.Interval(0.5, 0.4, 0.6),
        rules.PickedProfile(fresh=()),
        visibility.OwnPlans(frozenset(), frozenset(range(1, 6))),
    ],
)
def test_results_and_rules_are_values_that_nobody_changes(value: object) -> None:
    name = dataclasses.fields(value)[0].name  # type: ignore[arg-type]
    with pytest.raises(dataclasses.FrozenInstanceError):
        setattr(value, name, 7)
    assert not hasattr(value, "__dict__")
