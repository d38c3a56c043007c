"""Members with planted habits are named rightly: a small slice of ``tests.bench.recovery``.

Source: the habits are planted here, so what must be named is known; no source outside. The bench
has fifty members a kind; its figures are in ``tests/bench/FIGURES.md``.
"""

from functools import cache

import numpy as np
import pytest

from tests.bench.recovery import equals, intervals, lessons, slip_lessons
from tests.bench.recovery.kinds import KINDS
from tests.bench.recovery.naming import ALONE, OF_THEIR_OWN, simulate
from training.lesson_effect import LessonSaid

MEMBERS, PLANS = 2, 40


@cache
def rows():
    return simulate(MEMBERS, (PLANS,))


@pytest.mark.parametrize("name", [*KINDS, *(f"{name}{ALONE}" for name in OF_THEIR_OWN)])
def test_what_is_planted_is_named_first(name):
    row = rows()[name]
    assert row.first[PLANS].total() == MEMBERS
    assert row.share_right(PLANS) == 1, dict(row.first[PLANS])


@pytest.mark.parametrize("name", [name for name, kind in KINDS.items() if kind.right == (None,)])
def test_who_lacks_nothing_is_flagged_for_nothing(name):
    assert not rows()[name].flagged[PLANS]


def test_equals_are_not_flagged_and_the_one_who_is_not_equal_is():
    source = np.random.default_rng(1)
    assert sum(equals.a_flag_among_equals(source, 5) for _ in range(20)) <= 1
    assert sum(equals.finds(source, 5, spread=False, low=0.2) for _ in range(20)) >= 18


def test_a_lesson_that_helped_is_told_from_one_that_did_not():
    source = np.random.default_rng(2)
    helped = [lessons.said(source, 12, (0.3, 0.7, 0.8), better=0.8) for _ in range(10)]
    not_helped = [lessons.said(source, 12, (0.6, 0.6, 0.6)) for _ in range(10)]
    assert helped.count(LessonSaid.BETTER) >= 9
    assert not_helped.count(LessonSaid.BETTER) <= 1


def test_tracing_twice_that_helped_is_told_from_what_did_not():
    source = np.random.default_rng(4)
    helped = [slip_lessons.said(source, 20, helped=True) for _ in range(10)]
    not_helped = [slip_lessons.said(source, 20) for _ in range(10)]
    everybody = [slip_lessons.said(source, 20, growth=0.7) for _ in range(10)]
    assert helped.count(LessonSaid.BETTER) >= 8
    assert not_helped.count(LessonSaid.BETTER) <= 1
    assert everybody.count(LessonSaid.BETTER) <= 1


def test_pooled_intervals_hold_the_rate_where_plain_ones_do_not():
    source = np.random.default_rng(3)
    held = np.array([intervals.pooled_holds(source, 0.7, 20, 30) for _ in range(200)], dtype=float)
    ours, plain = held.mean(axis=0)
    assert 0.85 <= ours <= 0.97
    assert plain < 0.75
