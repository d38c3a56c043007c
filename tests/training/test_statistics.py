"""Intervals, many looks, trend: against published tables and worked examples."""

from __future__ import annotations

from itertools import combinations, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from training import statistics
from training.statistics import Tally


@pytest.mark.parametrize(
    ("answered", "called", "low", "high"),
    [
        # Newcombe 1998, Stat. Med. 17:857-872, table I, method 3.
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        # The same table; inputs from memory, values recomputed.
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilsons_interval_has_the_published_limits(answered, called, low, high) -> None:
    found = statistics.wilson(answered, called, level=0.95)
    assert (round(found.low, 4), round(found.high, 4)) == (low, high)


@given(st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_wilsons_interval_is_that_of_scipy(counts) -> None:
    found = statistics.wilson(*counts)
    limits = stats.binomtest(*counts).proportion_ci(0.9, method="wilson")
    assert found.low == pytest.approx(limits.low, abs=1e-9)
    assert found.high == pytest.approx(limits.high, abs=1e-9)


def test_a_rate_of_nothing_is_no_rate() -> None:
    with pytest.raises(ValueError, match="nothing"):
        statistics.wilson(0, 0)
    with pytest.raises(ValueError, match="no tally"):
        statistics.wilson(3, 2)
    with pytest.raises(ValueError, match="no tally"):
        statistics.chance_of_so_few(3, 2, 0.5)


def test_below_five_nothing_is_said_and_it_is_told_how_many_more_it_takes() -> None:
    assert statistics.more_needed(Tally(0, 3)) == 2
    assert statistics.more_needed(Tally(0, 5)) == 0


def test_many_looks_at_once() -> None:
    # Benjamini & Hochberg 1995, fifteen p-values (from memory, recomputed): four stand.
    p_values = [
        0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344,
        0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.000,
    ]  # fmt: skip
    assert statistics.stand_out(p_values) == [True] * 4 + [False] * 11
    assert sum(p <= 0.05 / 15 for p in p_values) == 3
    assert statistics.stand_out([]) == []


def test_a_trend_has_the_published_statistic() -> None:
    # US EPA QA/G-9S (2006), page 109: S = 22, Var = 155.33, Z = 1.685.
    found = statistics.trend([10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15])
    assert found is not None
    assert (found.s, round(found.variance, 2), round(found.z, 3)) == (22, 155.33, 1.685)


def test_a_trend_downwards_is_the_mirror_of_one_upwards() -> None:
    # By hand: six values that fall by 2 each: S = -15, Var = 6·5·17/18 = 28.33,
    # Z = (-15 + 1)/√28.33 = -2.630, two-sided .0085 (table of the normal distribution).
    found = statistics.trend([12, 10, 8, 6, 4, 2])
    assert found is not None
    assert (found.s, round(found.variance, 2), round(found.z, 3)) == (-15, 28.33, -2.63)
    assert (round(found.p, 4), found.slope) == (0.0085, -2)
    # The published example read backwards.
    published = [10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15]
    back, forth = statistics.trend(published[::-1]), statistics.trend(published)
    assert back is not None
    assert forth is not None
    assert (back.s, round(back.z, 3), back.slope) == (-22, -1.685, -forth.slope)
    assert back.p == pytest.approx(forth.p)


def test_weeks_that_are_all_alike_have_no_trend() -> None:
    found = statistics.trend([3] * 6)
    assert found is not None
    assert (found.s, found.variance, found.z, found.p, found.slope) == (0, 0, 0, 1, 0)


@given(st.lists(st.integers(-9, 9), min_size=6, max_size=20))
def test_the_statistic_agrees_with_kendalls_of_scipy(values) -> None:
    found = statistics.trend(values)
    assert found is not None
    tau = stats.kendalltau(range(len(values)), values).statistic
    if len(set(values)) > 1:
        assert (found.s > 0) == (tau > 1e-12)
        assert (found.s < 0) == (tau < -1e-12)


def test_four_weeks_are_too_early() -> None:
    # With four values no order reaches 5 % two-sided: the most extreme has p = 2/24.
    assert statistics.trend([1, 2, 3, 4]) is None
    assert 2 / 24 > 0.05


def test_the_limits_never_leave_nought_to_one() -> None:
    # By rounding alone some of these would: a rate below 0 or above 1 is nothing to draw.
    for called in range(1, 300):
        assert statistics.wilson(0, called).low >= 0
        assert statistics.wilson(called, called).high <= 1


def test_rounding_would_leave_them() -> None:
    z = stats.norm.ppf(0.95)
    low = [
        (z * z / (2 * n)) / (1 + z * z / n) - z / (1 + z * z / n) * (z * z / (4 * n * n)) ** 0.5
        for n in range(1, 300)
    ]
    assert min(low) < 0


@pytest.mark.parametrize(("answered", "called"), [(-1, 5), (6, 5), (-1, -1)])
def test_what_is_no_tally_is_refused(answered, called) -> None:
    for asked in (statistics.wilson, lambda *tally: statistics.chance_of_so_few(*tally, 0.5)):
        with pytest.raises(ValueError, match="no tally"):
            asked(answered, called)


def test_with_more_than_enough_nothing_more_is_needed() -> None:
    least = statistics.LEAST_CALLED
    assert [statistics.more_needed(Tally(0, least + n)) for n in (-1, 0, 1)] == [1, 0, 0]


def test_a_finding_just_at_the_rate_stands() -> None:
    # Benjamini and Hochberg (1995): rejected when p(i) <= i/m q, equality among it.
    assert statistics.stand_out([0.05, 0.9]) == [False, False]
    assert statistics.stand_out([0.05]) == [True]


@pytest.mark.parametrize("wanted", [-3, -1, 1, 3])
def test_the_score_is_continuity_corrected_towards_nought(wanted) -> None:
    # Mann-Kendall's Z (Kendall 1975; EPA QA/G-9S 2006, p. 109): (S - 1) / sd, 0 at 0, (S + 1) / sd.
    weeks = next(
        one
        for one in permutations(range(6))
        if sum(1 if b > a else -1 for a, b in combinations(one, 2)) == wanted
    )
    found = statistics.trend(weeks)
    assert found is not None
    assert (found.s, found.variance) == (wanted, 6 * 5 * 17 / 18)
    towards = wanted - (1 if wanted > 0 else -1)
    assert found.z == pytest.approx(towards / found.variance**0.5)


def test_no_direction_has_a_score_of_nought() -> None:
    found = statistics.trend([1, 2, 1, 2, 2, 1])
    assert found is not None
    assert (found.s, found.z, found.p) == (1, 0, 1)
    found = statistics.trend([1, 2, 2, 2, 2, 1])
    assert found is not None
    assert (found.s, found.z, found.p) == (0, 0, 1)
    assert found.variance > 0
