"""Honest numbers for small groups: intervals, many looks at once, trend.

Pure functions over plain numbers; distributions come from scipy and only the
glue is ours. A rate is *answered of called*: ``answered`` successes in
``called`` opportunities.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import sqrt

LEVEL = 0.90
"""Level of the intervals shown."""

LEAST_CALLED = 5
"""No wording but "not enough evidence yet", and no bare percentage, below this."""

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


def _check(answered: int, called: int) -> None:
    if not 0 <= answered <= called:
        raise ValueError(f"{answered} of {called} is no tally")


def more_needed(tally: Tally) -> int:
    """How many more opportunities before anything may be said."""
    return max(0, LEAST_CALLED - tally.called)


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
