"""Intervals, shrinkage, many looks, trend: against published tables and worked examples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from training import statistics
from training.statistics import Flag, Prior, Tally


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


@given(st.integers(0, 30), st.integers(0, 30), st.floats(0.05, 0.95), st.floats(5, 30))
def test_q_is_the_beta_distribution_of_scipy(answered, missed, rate, weight) -> None:
    q = statistics.chance_below(Tally(answered, answered + missed), Prior(rate, weight))
    beta = stats.beta(weight * rate + answered, weight * (1 - rate) + missed)
    assert q == pytest.approx(beta.cdf(rate), abs=1e-9)


def test_a_rate_of_nothing_is_no_rate() -> None:
    with pytest.raises(ValueError, match="nothing"):
        statistics.wilson(0, 0)
    with pytest.raises(ValueError, match="no tally"):
        statistics.wilson(3, 2)
    with pytest.raises(ValueError, match="no tally"):
        statistics.chance_below(Tally(3, 2), Prior(0.5, 10))
    with pytest.raises(ValueError, match="no tally"):
        statistics.chance_of_so_few(3, 2, 0.5)


def test_the_posterior_of_a_known_prior() -> None:
    # Tarone 1982 data in Gelman et al., Bayesian Data Analysis, 3rd ed., 5.1 (from memory,
    # recomputed with the unrounded prior): 70 groups with mean .136 and sd .103.
    middle, spread = 0.136, 0.103
    weight = middle * (1 - middle) / spread**2 - 1
    prior = Prior(rate=middle, weight=weight)
    assert (round(weight * middle, 2), round(weight * (1 - middle), 1)) == (1.37, 8.7)
    found = statistics.posterior(Tally(4, 14), prior)
    beta = stats.beta(*found)
    assert (round(beta.mean(), 3), round(beta.std(), 3)) == (0.223, 0.083)


def test_the_posterior_of_a_uniform_prior() -> None:
    # The same book, 2.4 (from memory, recomputed): 437 of 980.
    found = statistics.posterior_interval(Tally(437, 980), Prior(rate=0.5, weight=2), level=0.95)
    assert (round(found.rate, 3), round(found.low, 3), round(found.high, 3)) == (
        0.446,
        0.415,
        0.477,
    )


# An example made up for this check, with rate and weight fixed by hand.
EIGHT = [
    Tally(*pair) for pair in ((6, 20), (2, 5), (9, 12), (4, 6), (1, 3), (8, 10), (3, 9), (0, 3))
]


@pytest.mark.parametrize(
    ("tally", "all_in", "left_out"),
    [(Tally(0, 3), 0.801, 0.809), (Tally(6, 20), 0.917, 0.974), (Tally(9, 12), 0.083, 0.048)],
)
def test_q_of_the_worked_example(tally, all_in, left_out) -> None:
    assert statistics.group_rate(EIGHT) == 33 / 68
    q = statistics.chance_below(tally, Prior(rate=33 / 68, weight=10))
    assert round(q, 3) == all_in
    others = [one for one in EIGHT if one != tally]
    q = statistics.chance_below(tally, Prior(rate=statistics.group_rate(others), weight=10))
    assert round(q, 3) == left_out


def test_the_member_is_left_out_of_a_small_groups_rate_and_not_of_a_large_ones() -> None:
    place = EIGHT.index(Tally(6, 20))
    assert statistics.priors(EIGHT)[place].rate == 27 / 48
    many = [*EIGHT, Tally(1, 2), Tally(1, 2)]
    assert statistics.priors(many)[place].rate == 35 / 72
    assert statistics.priors([]) == []
    assert statistics.priors([Tally(0, 0)])[0].rate == 0.5
    assert statistics.priors([Tally(3, 4)])[0].rate == 0.75


def test_nothing_of_three_proves_nothing() -> None:
    assert statistics.flag(Tally(0, 3), Prior(0.9, 10)) == Flag.UNKNOWN
    assert statistics.more_needed(Tally(0, 3)) == 2


def test_five_opportunities_are_enough_to_say_something() -> None:
    prior = Prior(0.9, 30)
    # scipy.stats.beta.cdf(.9, 27, 8) = .992: from five on it may be said.
    assert stats.beta.cdf(0.9, 27, 8) > statistics.FLAG_AT
    assert statistics.flag(Tally(0, 5), prior) == Flag.NEEDS_WORK
    assert statistics.flag(Tally(0, 4), prior) == Flag.UNKNOWN
    assert statistics.group_lacks([Tally(0, 5)], target=0.7)
    assert not statistics.group_lacks([Tally(0, 4)], target=0.7)


def test_in_a_group_that_always_or_never_answers_nobody_stands_out() -> None:
    assert statistics.chance_below(Tally(0, 8), Prior(rate=0, weight=10)) == 0.5
    assert statistics.chance_below(Tally(8, 8), Prior(rate=1, weight=10)) == 0.5


def test_the_three_wordings() -> None:
    prior = Prior(rate=0.6, weight=10)
    assert statistics.flag(Tally(3, 20), prior) == Flag.NEEDS_WORK
    assert statistics.flag(Tally(20, 20), prior) == Flag.STRONG
    assert statistics.flag(Tally(12, 20), prior) == Flag.UNKNOWN


@given(
    st.lists(
        st.integers(0, 20).flatmap(lambda n: st.builds(Tally, st.integers(0, n), st.just(n))),
        max_size=30,
    )
)
def test_the_weight_stays_in_its_bounds(tallies) -> None:
    assert 5 <= statistics.prior_weight(tallies) <= 30


@pytest.mark.parametrize(
    ("pairs", "weight"),
    [
        # By hand: rates .2 .4 .6 .8 .5 .5, mean .5, variance .04, h = .1; so
        # v = (.04 - .25 × .1) / .9 = 1/60 and m(1 - m)/v - 1 = 15 - 1.
        (((2, 10), (4, 10), (6, 10), (8, 10), (5, 10), (5, 10)), 14),
        # By hand, unequal: rates .3 .7 .25 .75 .5, mean .5, variance .05125 and
        # h = (1/10 + 1/10 + 1/20 + 1/20 + 1/10)/5 = .08; v = .03125/.92; .25/v - 1 = 6.36.
        (((3, 10), (7, 10), (5, 20), (15, 20), (5, 10)), 6.36),
    ],
)
def test_the_weight_has_the_value_worked_out_by_hand(pairs, weight) -> None:
    # Kleinman 1973 (moments of proportions), as the docstring states it.
    tallies = [Tally(*pair) for pair in pairs]
    assert statistics.prior_weight(tallies) == pytest.approx(weight)
    # Whoever was never called on says nothing.
    assert statistics.prior_weight([*tallies, Tally(0, 0)]) == pytest.approx(weight)
    # With fewer than five members nothing is known of the spread.
    assert statistics.prior_weight(tallies[:4]) == 10


def test_members_without_spread_or_too_few_get_the_weight_of_not_knowing() -> None:
    assert statistics.prior_weight([Tally(5, 10)] * 12) == 10
    assert statistics.prior_weight([Tally(0, 10), Tally(10, 10)]) == 10
    assert statistics.prior_weight([Tally(0, 40), Tally(40, 40)] * 6) == 5
    # Almost all of the spread is chance: what is left would weigh more than 30.
    narrow = [Tally(n, 10) for n in (3, 4, 5, 5, 6, 7, 3, 7)]
    assert statistics.prior_weight(narrow) == 30
    assert statistics.prior_weight([Tally(1, 1), Tally(0, 1)] * 4) == 10
    assert statistics.prior_weight([Tally(9, 9)] * 6) == 10


@given(st.integers(0, 30), st.integers(0, 30), st.floats(0.05, 0.95), st.floats(5, 30))
def test_one_answer_more_never_makes_a_member_weaker(answered, missed, rate, weight) -> None:
    prior = Prior(rate, weight)
    before = statistics.chance_below(Tally(answered, answered + missed), prior)
    after = statistics.chance_below(Tally(answered + 1, answered + missed + 1), prior)
    assert after <= before + 1e-12


def test_many_looks_at_once() -> None:
    # Benjamini & Hochberg 1995, fifteen p-values (from memory, recomputed): four stand.
    p_values = [
        0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344,
        0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.000,
    ]  # fmt: skip
    assert statistics.stand_out(p_values) == [True] * 4 + [False] * 11
    assert sum(p <= 0.05 / 15 for p in p_values) == 3
    assert statistics.stand_out([]) == []


def test_the_groups_own_lack_is_measured_against_the_coachs_target() -> None:
    assert statistics.group_lacks([Tally(3, 10)] * 8, target=0.7)
    assert not statistics.group_lacks([Tally(7, 10)] * 8, target=0.7)
    assert not statistics.group_lacks([Tally(0, 4)], target=0.7)


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
