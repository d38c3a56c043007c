"""Two yardsticks: the rate behind a rate, against a target and beside the group.

Sources: Gelman et al., *Bayesian Data Analysis*, 3rd ed., chapter 5.3 (hierarchical model, prior,
the mode of the posterior) with the 71 experiments of Tarone 1982, Biometrics 38:215-220 (table 5.1
there; the data typed from memory, their moments checked against the book's); chapter 2.4 (placenta
previa; from memory); scipy for the integrals.
"""

import math

import numpy as np
import pytest
from scipy import stats
from scipy.integrate import quad

from training import yardsticks
from training.statistics import Tally
from training.yardsticks import Flag, Lean, Spread, readings, standing

RATS = """
0/20 0/20 0/20 0/20 0/20 0/20 0/20 0/19 0/19 0/19 0/19 0/18 0/18 0/17 1/20 1/20 1/20 1/20 1/19
1/19 1/18 1/18 2/25 2/24 2/23 2/20 2/20 2/20 2/20 2/20 2/20 1/10 5/49 2/19 5/46 3/27 2/17 7/49
7/47 3/20 3/20 2/13 9/48 10/50 4/20 4/20 4/20 4/20 4/20 4/20 4/20 10/48 4/19 4/19 4/19 5/22 11/46
12/49 5/20 5/20 6/23 5/19 6/22 6/20 6/20 6/20 16/52 15/47 15/46 9/24 4/14
"""
TUMOURS = [Tally(*map(int, one.split("/"))) for one in RATS.split()]


def test_the_tumours_are_those_of_the_book():
    earlier = [one.answered / one.called for one in TUMOURS[:-1]]
    assert len(TUMOURS) == 71
    mean, spread = np.mean(earlier), np.var(earlier, ddof=1)
    weight = mean * (1 - mean) / spread - 1
    assert (mean * weight, (1 - mean) * weight) == pytest.approx((1.36, 8.62), abs=0.03)


def test_the_mode_of_the_tumours():
    """On (log a/b, log(a + b)) near a, b = 2.2, 13.3; the grid's own steps are as wide as that."""
    alpha, beta, share = Spread(tuple(TUMOURS))._points
    # The grid is even in g; the book's axis is log(a/b) = logit g.
    weight = alpha + beta
    density = share * (alpha / weight) * (beta / weight)
    most = int(np.argmax(density))
    assert alpha[most] / weight[most] == pytest.approx(2.2 / 15.5, abs=0.02)
    assert weight[most] == pytest.approx(15.5, rel=0.2)


def test_a_rate_of_a_group_of_one_by_plain_integration():
    """One member alone, by scipy's quadrature over the same prior on a finer grid."""
    tally, target = Tally(3, 10), 0.7

    def inner(weight, rate):
        a, b = rate * weight, (1 - rate) * weight
        told = stats.betabinom.pmf(tally.answered, tally.called, a, b) * weight**-0.5
        return told, told * stats.beta.cdf(target, a + tally.answered, b + 7)

    def over_rates(index):
        def at(log_weight):
            weight = np.exp(log_weight)
            return quad(lambda rate: inner(weight, rate)[index], 0.02, 0.98, limit=60)[0]

        grid = np.linspace(np.log(2), np.log(400), 41)
        return np.trapezoid([at(one) for one in grid], grid)

    expected = over_rates(1) / over_rates(0)
    assert Spread((tally,)).below([tally], target)[0] == pytest.approx(expected, abs=0.01)


def test_much_data_leaves_the_prior_behind():
    """437 of 980 with a uniform prior: mean .446, 95 % .415 to .477."""
    births = Tally(437, 980)
    low, high = (Spread((births,)).below([births], rate)[0] for rate in (0.415, 0.477))
    assert (low, high) == pytest.approx((0.025, 0.975), abs=0.01)


def test_the_three_flags_and_how_it_leans():
    group = [Tally(27, 30)] * 5
    low, high, few, between = readings(
        [Tally(9, 30), Tally(60, 60), Tally(1, 4), Tally(21, 30)], 0.7
    )
    assert (low.flag, high.flag, few.flag) == (Flag.NEEDS_WORK, Flag.STRONG, Flag.UNKNOWN)
    assert between.flag is Flag.UNKNOWN
    found = readings([*group, Tally(9, 30)], 0.7)
    assert found[-1].group_more_often
    assert not any(one.group_more_often for one in found[:-1])
    assert low.lean is Lean.BELOW
    assert high.lean is Lean.ABOVE


def test_five_plans_are_the_least():
    assert readings([Tally(0, 4)], 0.7)[0].flag is Flag.UNKNOWN
    assert readings([Tally(0, 5)], 0.7)[0].flag is Flag.NEEDS_WORK


def test_strong_is_never_asked_for_more_than_95_in_100():
    found = readings([Tally(200, 200)] * 3, 0.9)
    assert found[0].flag is Flag.STRONG


def test_equal_tallies_are_read_alike_and_in_order():
    found = readings([Tally(2, 20), Tally(18, 20), Tally(2, 20)], 0.7)
    assert found[0] == found[2] != found[1]
    assert [one.tally.answered for one in found] == [2, 18, 2]


@pytest.mark.parametrize(
    ("looks", "stands"),
    [
        ([Flag.UNKNOWN, Flag.NEEDS_WORK], Flag.NEEDS_WORK),
        ([Flag.NEEDS_WORK, Flag.UNKNOWN], Flag.NEEDS_WORK),
        ([Flag.UNKNOWN, Flag.UNKNOWN], Flag.UNKNOWN),
        ([Flag.NEEDS_WORK, Flag.STRONG], Flag.STRONG),
    ],
)
def test_a_flag_comes_at_the_first_look_and_goes_after_two(looks, stands):
    before, last = looks
    assert standing(last, before) is stands


def test_the_same_group_is_read_once_in_whatever_order() -> None:
    """A look stays the same for a week: its page is not reckoned anew each time it is opened."""
    tallies = [Tally(3, 11), Tally(9, 12), Tally(3, 11), Tally(0, 4)]
    before = yardsticks._readings.cache_info().misses
    found = yardsticks.readings(tallies, 0.61)
    assert yardsticks.readings(tallies[::-1], 0.61) == found[::-1]
    assert yardsticks._readings.cache_info().misses == before + 1
    assert [one.tally for one in found] == tallies


def test_where_all_always_answer_no_group_does_more_often() -> None:
    """Every rate lies below 1, even that of somebody who always answered too."""
    for one in yardsticks.readings([Tally(5, 5), Tally(20, 20), Tally(30, 30)], 0.7):
        assert not one.group_more_often


def plain_posterior(tallies, tally, rate):
    """The same sum point by point: Gelman et al., 5.3, on 49 rates and 40 weights."""
    told = {}
    for step in range(49):
        g = 0.02 + step * 0.96 / 48
        for rung in range(40):
            weight = 2 * 200 ** (rung / 39)
            told[g, weight] = -0.5 * math.log(weight) + sum(
                stats.betabinom.logpmf(one.answered, one.called, g * weight, (1 - g) * weight)
                for one in tallies
                if one.called
            )
    most = max(told.values())
    shares = {point: math.exp(one - most) for point, one in told.items()}
    whole = sum(shares.values())
    # What weighs a millionth or less is left out, as there.
    shares = {point: one for point, one in shares.items() if one / whole > 1e-6}
    whole = sum(shares.values())
    missed = tally.called - tally.answered
    below = sum(
        one * stats.beta.cdf(rate, g * weight + tally.answered, (1 - g) * weight + missed)
        for (g, weight), one in shares.items()
    )
    return below / whole, sum(one for (g, _), one in shares.items() if g < rate) / whole


@pytest.mark.parametrize(
    ("tallies", "rate"),
    [
        ((Tally(3, 10),), 0.7),
        ((Tally(2, 20), Tally(19, 20), Tally(3, 4), Tally(0, 0)), 0.7),
        ((Tally(5, 5), Tally(5, 5)), 0.95),
        ((Tally(0, 6), Tally(1, 9)), 0.13),
    ],
)
def test_the_posterior_is_that_of_a_sum_point_by_point(tallies, rate):
    spread = Spread(tallies)
    below, centre = plain_posterior(tallies, tallies[0], rate)
    assert spread.below([tallies[0]], rate)[0] == pytest.approx(below, abs=1e-9)
    assert spread.centre_below(rate) == pytest.approx(centre, abs=1e-9)


@pytest.mark.parametrize("target", [0.5, 0.7, 0.85])
@pytest.mark.parametrize("others", [(24, 30), (28, 30), (9, 30), (1, 1)])
def test_what_is_said_is_said_by_the_documented_chances(target, others):
    """Needs work, strong: at .90 and five times called for, strong by .15 more, at most .95.

    The group more often: at .97. A lean: at .7 and .3. Common practice, no source: they were chosen
    for this house and are told to coaches so.
    """
    beside = [Tally(*others)] * 4
    for called in (1, 4, 5, 6, 9, 13, 20):
        for answered in range(called + 1):
            tally = Tally(answered, called)
            group, enough = [tally, *beside], called >= 5
            spread = Spread(tuple(sorted(group, key=lambda one: (one.called, one.answered))))
            below = spread.below([tally], target)[0]
            short_of_strong = spread.below([tally], min(target + 0.15, 0.95))[0]
            theirs = others[0] / others[1]
            found = readings(group, target)[0]
            assert found.below_target == pytest.approx(below)
            if enough and below >= 0.9:
                assert found.flag is Flag.NEEDS_WORK
            elif enough and 1 - short_of_strong >= 0.9:
                assert found.flag is Flag.STRONG
            else:
                assert found.flag is Flag.UNKNOWN
            leans = Lean.BELOW if below >= 0.7 else Lean.ABOVE if below <= 0.3 else Lean.EITHER
            assert found.lean is leans
            more = enough and 4 * others[1] >= 5 and spread.below([tally], theirs)[0] >= 0.97
            assert found.group_more_often is bool(more and answered / called < theirs)


def test_a_group_is_below_its_target_at_nine_in_ten():
    said = set()
    for answered in range(21):
        group = [Tally(answered, 20), Tally(14, 20)]
        ordered = tuple(sorted(group, key=lambda one: (one.called, one.answered)))
        chance = Spread(ordered).centre_below(0.7)
        assert yardsticks.group_below(group, 0.7) is (chance >= 0.9)
        said.add(chance >= 0.9)
    assert said == {True, False}
    # Fewer than five positions of all together say nothing of a group.
    assert not yardsticks.group_below([Tally(0, 2), Tally(0, 2)], 0.7)
    assert yardsticks.group_below([Tally(0, 3), Tally(0, 2)], 0.7) is (
        Spread((Tally(0, 2), Tally(0, 3))).centre_below(0.7) >= 0.9
    )


class _Told(Spread):
    """A spread of which every chance is told beforehand."""

    chance = 0.0

    def below(self, tallies, rates):
        return [self.chance] * len(tallies)

    def centre_below(self, rate):
        return self.chance


@pytest.mark.parametrize(
    ("chance", "flag", "lean", "more_often"),
    [
        (0.97, Flag.NEEDS_WORK, Lean.BELOW, True),
        (0.9699, Flag.NEEDS_WORK, Lean.BELOW, False),
        (0.9, Flag.NEEDS_WORK, Lean.BELOW, False),
        (0.8999, Flag.UNKNOWN, Lean.BELOW, False),
        (0.7, Flag.UNKNOWN, Lean.BELOW, False),
        (0.6999, Flag.UNKNOWN, Lean.EITHER, False),
        (0.3001, Flag.UNKNOWN, Lean.EITHER, False),
        (1 - 0.7, Flag.UNKNOWN, Lean.ABOVE, False),
        (0.1001, Flag.UNKNOWN, Lean.ABOVE, False),
        (1 - 0.9, Flag.STRONG, Lean.ABOVE, False),
    ],
)
def test_just_at_a_limit_the_thing_is_said(monkeypatch, chance, flag, lean, more_often):
    """A chance of .90 is "nine in ten or more": common practice, no source."""
    monkeypatch.setattr(_Told, "chance", chance)
    monkeypatch.setattr(yardsticks, "Spread", _Told)
    yardsticks._readings.cache_clear()
    yardsticks._group_below.cache_clear()
    # All others together were called for five times, the least of which anything is said.
    found = readings([Tally(1, 9), Tally(5, 5)], 0.7)[0]
    assert (found.flag, found.lean, found.group_more_often) == (flag, lean, more_often)
    assert yardsticks.group_below([Tally(1, 9), Tally(5, 5)], 0.7) is (chance >= 0.9)
    yardsticks._readings.cache_clear()
    yardsticks._group_below.cache_clear()


def test_a_flag_is_said_in_its_own_words():
    assert [one.words for one in Flag] == [
        "likely needs work",
        "strong",
        "not enough evidence yet",
    ]
