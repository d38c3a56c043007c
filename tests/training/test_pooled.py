"""Pooled rates with intervals from scrambles.

Sources: scipy.stats.bootstrap (itself the routine; here its percentile method beside BCa), the
normal interval of a ratio estimate over clusters (Cochran, *Sampling Techniques*, 3rd ed., 6.3;
from memory) for many scrambles; Hesterberg 2015, American Statistician 69:371-386, table of
widened levels recomputed with Student's t.
"""

from datetime import timedelta

import numpy as np
import pytest
from scipy import stats

from tests.conftest import NOON, make_membership
from tests.history import weeks_of_plans
from training.pooled import LEAST_SCRAMBLES, pooled_rate, widened
from training.selectors import group_reviews
from training.statistics import Tally


def tallies(seed, count, members=12):
    source = np.random.default_rng(seed)
    chance = 1 / (1 + np.exp(-0.8 - source.normal(size=count)))
    answered = source.binomial(members, chance)
    return [Tally(int(one), members) for one in answered]


def test_no_interval_of_fewer_than_ten_scrambles():
    assert LEAST_SCRAMBLES == 10
    assert pooled_rate(tallies(1, 9)) is None
    assert pooled_rate(tallies(1, 10)) is not None
    # Scrambles that called for nothing are none.
    assert pooled_rate([*tallies(1, 9), Tally(0, 0), Tally(0, 0)]) is None


def test_sets_of_scrambles_are_six_at_least_with_ten_scrambles_in_them():
    assert pooled_rate(tallies(1, 6), 9) is None
    assert pooled_rate(tallies(1, 6), 10) is not None
    assert pooled_rate(tallies(1, 5), 25) is None


@pytest.mark.parametrize("answered", [0, 4])
def test_no_interval_where_all_scrambles_agree(answered):
    assert pooled_rate([Tally(answered, 4)] * 12) is None


@pytest.mark.parametrize("seed", range(5))
def test_of_many_scrambles_it_is_the_interval_of_a_ratio(seed):
    some = tallies(seed, 400)
    answered = np.array([one.answered for one in some])
    called = np.array([one.called for one in some])
    rate = answered.sum() / called.sum()
    spread = np.std(answered - rate * called, ddof=1) / np.sqrt(len(some)) / called.mean()
    low, high = stats.norm.interval(0.9, rate, spread)
    found = pooled_rate(some)
    assert found.rate == pytest.approx(rate)
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.004)


def test_few_scrambles_widen_the_level():
    """Student's t of 9 degrees at 95 % is 1.833 (any table); times the root of 10 / 9, 1.932."""
    assert widened(0.9, 10) == pytest.approx(
        2 * stats.norm.cdf(1.833 * (10 / 9) ** 0.5) - 1, abs=1e-4
    )
    assert widened(0.9, 10_000) == pytest.approx(0.9, abs=1e-4)


def test_it_is_wider_than_that_of_independent_plans_and_the_same_each_time():
    from training.statistics import wilson

    some = tallies(7, 20, members=30)
    found = pooled_rate(some)
    plain = wilson(sum(one.answered for one in some), sum(one.called for one in some))
    assert found.high - found.low > 1.5 * (plain.high - plain.low)
    assert found == pooled_rate(some)


@pytest.mark.parametrize("weeks", [5, 7])
def test_the_rate_of_a_group_has_an_interval_from_its_sets(given, club, coach, weeks) -> None:
    """With five there are too few; of seven, four are half right and the others wholly."""
    weeks_of_plans(given, make_membership(club, "Ines"), weeks, answered=True)
    weeks_of_plans(given, make_membership(club, "Bashir"), 4, answered=False)
    monday = NOON + timedelta(days=5)
    found = group_reviews.group_review(coach, monday, weeks=8)
    line = next(one for one in found.techniques if one.code == "base_turn")
    assert line.tally == Tally(5 * weeks, 5 * (weeks + 4))
    if weeks == 5:
        assert line.interval is None
    else:
        assert line.interval == pooled_rate([Tally(5, 10)] * 4 + [Tally(5, 5)] * 3, 35)
        assert line.interval.low < 35 / 55 < line.interval.high
