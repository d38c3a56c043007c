"""Honest numbers for small groups: intervals, shrinkage, many looks at once, trend.

Pure functions over plain numbers; distributions come from scipy and only the
glue is ours. A rate is *answered of called*: ``answered`` successes in
``called`` opportunities.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from math import sqrt
from statistics import mean, variance

LEVEL = 0.90
"""Level of the intervals shown."""

FLAG_AT = 0.97
"""Posterior probability from which somebody is flagged; at .90 too many equals are."""

LEAST_CALLED = 5
"""No wording but "not enough evidence yet", and no bare percentage, below this."""

WEIGHT_LEAST, WEIGHT_MOST, WEIGHT_UNKNOWN = 5.0, 30.0, 10.0
FEW_MEMBERS, LEAVE_OUT_BELOW = 5, 10
WEEKS_FOR_A_TREND = 6


@dataclass(frozen=True, slots=True)
class Interval:
    """A rate with its limits, all 0 to 1."""

    rate: float
    low: float
    high: float


def wilson(answered: int, called: int, level: float = LEVEL) -> Interval:
    """Wilson's score interval (Wilson 1927, JASA 22:209-212; Newcombe 1998, method 3).

    In closed form, because a group review asks for thousands; equal to
    ``scipy.stats.binomtest(…).proportion_ci(method="wilson")``, which is tested.
    Raises ValueError when nothing was called for or the counts make no sense.

    >>> one = wilson(15, 148, level=.95)
    >>> round(one.low, 4), round(one.high, 4)
    (0.0624, 0.1605)
    """
    _check(answered, called)
    if called == 0:
        raise ValueError("no rate of nothing")
    z = _normal_quantile((1 + level) / 2)
    rate = answered / called
    shrink = 1 + z * z / called
    middle = (rate + z * z / (2 * called)) / shrink
    half = z / shrink * sqrt(rate * (1 - rate) / called + z * z / (4 * called * called))
    return Interval(rate, max(0.0, middle - half), min(1.0, middle + half))


@cache
def _normal_quantile(probability: float) -> float:
    from scipy.special import ndtri

    return float(ndtri(probability))


@dataclass(frozen=True, slots=True)
class Tally:
    """How often one member answered one technique of the times it was called for."""

    answered: int
    called: int


@dataclass(frozen=True, slots=True)
class Prior:
    """What a group says about a member before the member's own plans: Beta(weight × rate, …)."""

    rate: float
    weight: float


def _check(answered: int, called: int) -> None:
    if not 0 <= answered <= called:
        raise ValueError(f"{answered} of {called} is no tally")


def group_rate(tallies: Sequence[Tally]) -> float:
    """The pooled rate of a group; one half where nothing was called for."""
    return _rate(sum(one.answered for one in tallies), sum(one.called for one in tallies))


def prior_weight(tallies: Sequence[Tally]) -> float:
    """The weight of the prior from the moments of the members' rates (Kleinman 1973).

    With mean m and variance v of the true rates, m(1 - m)/v - 1. The rates seen
    vary more: their variance is v + (m(1 - m) - v) h, with h the mean of 1/n;
    solved for v. Kept in 5…30; 10 with fewer than five members or no spread
    beyond chance.
    """
    heard = [one for one in tallies if one.called]
    if len(heard) < FEW_MEMBERS:
        return WEIGHT_UNKNOWN
    rates = [one.answered / one.called for one in heard]
    middle, spread = mean(rates), variance(rates)
    few = mean(1 / one.called for one in heard)
    if few == 1:
        return WEIGHT_UNKNOWN
    over = (spread - middle * (1 - middle) * few) / (1 - few)
    if over <= 0:
        return WEIGHT_UNKNOWN
    return min(WEIGHT_MOST, max(WEIGHT_LEAST, middle * (1 - middle) / over - 1))


def priors(tallies: Sequence[Tally]) -> list[Prior]:
    """The prior for each member of a group, in the given order.

    A member is left out of the group's rate in groups of fewer than ten.
    """
    weight = prior_weight(tallies)
    called = sum(one.called for one in tallies)
    answered = sum(one.answered for one in tallies)
    if len(tallies) >= LEAVE_OUT_BELOW or len(tallies) == 1:
        return [Prior(_rate(answered, called), weight)] * len(tallies)
    return [Prior(_rate(answered - one.answered, called - one.called), weight) for one in tallies]


def _rate(answered: int, called: int) -> float:
    return answered / called if called else 0.5


def chance_below(tally: Tally, prior: Prior) -> float:
    """q: the posterior probability that a member's true rate lies below the group's.

    Posterior Beta(Mg + x, M(1 - g) + n - x); q = P(rate < g).
    """
    from scipy.special import betainc

    _check(tally.answered, tally.called)
    one, other = posterior(tally, prior)
    if one == 0 or other == 0:
        # The group's rate is 0 or 1: nobody can stand below or above it by evidence.
        return 0.5
    return float(betainc(one, other, prior.rate))


def posterior(tally: Tally, prior: Prior) -> tuple[float, float]:
    """The two parameters of a member's posterior Beta distribution."""
    return (
        prior.weight * prior.rate + tally.answered,
        prior.weight * (1 - prior.rate) + tally.called - tally.answered,
    )


def posterior_interval(tally: Tally, prior: Prior, level: float = LEVEL) -> Interval:
    """Mean and equal-tailed limits of a member's posterior."""
    from scipy.stats import beta

    one, other = posterior(tally, prior)
    low = float(beta.ppf((1 - level) / 2, one, other))
    high = float(beta.ppf((1 + level) / 2, one, other))
    return Interval(one / (one + other), low, high)


class Flag(StrEnum):
    """The only three things said of a member and a technique."""

    NEEDS_WORK = "likely needs work"
    STRONG = "strong"
    UNKNOWN = "not enough evidence yet"


def flag(tally: Tally, prior: Prior) -> Flag:
    """Which of the three fits."""
    if tally.called < LEAST_CALLED:
        return Flag.UNKNOWN
    below = chance_below(tally, prior)
    if below >= FLAG_AT:
        return Flag.NEEDS_WORK
    return Flag.STRONG if below <= 1 - FLAG_AT else Flag.UNKNOWN


def more_needed(tally: Tally) -> int:
    """How many more opportunities before anything may be said."""
    return max(0, LEAST_CALLED - tally.called)


def group_lacks(tallies: Sequence[Tally], target: float) -> bool:
    """Whether the group itself lacks a technique: the upper limit is below the coach's target."""
    called = sum(one.called for one in tallies)
    if called < LEAST_CALLED:
        return False
    return wilson(sum(one.answered for one in tallies), called).high < target


def chance_of_so_few(exact: int, plans: int, rate: float) -> float:
    """The chance of ``exact`` successes or fewer in ``plans``, at a rate: binomial, one-sided."""
    from scipy.stats import binom

    _check(exact, plans)
    return float(binom.cdf(exact, plans, rate))


def stand_out(p_values: Sequence[float], rate: float = 0.05) -> list[bool]:
    """Which of many findings stand, by Benjamini & Hochberg (1995, JRSS B 57:289-300)."""
    from scipy.stats import false_discovery_control

    if not p_values:
        return []
    return [float(p) <= rate for p in false_discovery_control(list(p_values), method="bh")]


@dataclass(frozen=True, slots=True)
class Trend:
    """A monotone trend over weeks.

    ``s``, ``variance``, ``z``: Mann-Kendall's statistic, its variance with
    ties, the normal score; ``p``: two-sided; ``slope``: Theil-Sen, a week.
    """

    s: int
    variance: float
    z: float
    p: float
    slope: float


def trend(values: Sequence[float]) -> Trend | None:
    """Mann-Kendall with Theil-Sen (Sen 1968); None ("too early") before six weeks."""
    from scipy.stats import norm, theilslopes

    if len(values) < WEEKS_FOR_A_TREND:
        return None
    s = sum(
        (later > earlier) - (later < earlier)
        for place, earlier in enumerate(values)
        for later in values[place + 1 :]
    )
    count = len(values)
    ties = [list(values).count(value) for value in set(values)]
    spread = _kendall(count) - sum(_kendall(tie) for tie in ties)
    variance_of_s = spread / 18
    sign = (s > 0) - (s < 0)
    z = (s - sign) / variance_of_s**0.5 if variance_of_s else 0.0
    slope = float(theilslopes(list(values)).slope)
    return Trend(s, variance_of_s, z, float(2 * norm.sf(abs(z))), slope)


def _kendall(count: int) -> int:
    return count * (count - 1) * (2 * count + 5)
