"""Rates pooled over members: their interval comes from scrambles.

Scrambles differ in difficulty, so plans of one scramble are not independent,
and a pooled rate varies far more than a binomial one. What is drawn anew is
therefore the scramble, with all that its plans came to; or the set, where
counts are kept by set.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import sqrt
from typing import TYPE_CHECKING

from training.statistics import LEVEL, Interval, Tally

if TYPE_CHECKING:
    import numpy as np

LEAST_SCRAMBLES = 10
"""With fewer there is no interval, and nothing is claimed."""

LEAST_PARTS = 6
"""Nor is there with fewer parts that are drawn anew: sets of several scrambles each."""

_DRAWS = 1999
_SEED = 8
"""The same counts give the same interval, on every machine."""


def pooled_rate(
    parts: Sequence[Tally], scrambles: int | None = None, level: float = LEVEL
) -> Interval | None:
    """The rate over some scrambles, or sets of them, each given by its own tally.

    ``scrambles``: how many there are in all parts; None: as many as parts that
    say something. Bias-corrected and accelerated bootstrap over the parts (Efron
    1987, JASA 82:171-185), by ``scipy.stats.bootstrap``, its level widened for
    few. Parts that never called for anything say nothing. None with fewer than
    LEAST_SCRAMBLES or LEAST_PARTS, and where all parts agree: nothing is then
    known of how they differ.

    >>> pooled_rate([Tally(3, 4)] * 9) is None
    True
    >>> found = pooled_rate([Tally(3, 4), Tally(2, 4)] * 6)
    >>> round(found.rate, 3), found.low < found.rate < found.high
    (0.625, True)
    """
    import numpy as np
    from scipy.stats import bootstrap

    told = [one for one in parts if one.called]
    there = len(told) if scrambles is None else scrambles
    if there < LEAST_SCRAMBLES or len(told) < LEAST_PARTS:
        return None
    if len({Fraction(one.answered, one.called) for one in told}) == 1:
        # Every draw would give this one rate.
        return None
    counts = np.array([(one.answered, one.called) for one in told], dtype=float).T
    found = bootstrap(
        tuple(counts),
        _rate,
        paired=True,
        vectorized=True,
        n_resamples=_DRAWS,
        confidence_level=widened(level, len(told)),
        method="BCa",
        rng=np.random.default_rng(_SEED),
    ).confidence_interval
    if np.isnan(found.low) or np.isnan(found.high):
        return None
    return Interval(float(counts[0].sum() / counts[1].sum()), float(found.low), float(found.high))


def widened(level: float, count: int) -> float:
    """The level at which a bootstrap of few things holds what it says.

    It takes their spread from themselves, as a normal quantile would; Student's
    and the root of n / (n - 1) are put in its place (Hesterberg 2015, American
    Statistician 69:371-386, the expanded percentile interval; from memory).
    """
    from scipy.stats import norm, t

    return float(2 * norm.cdf(sqrt(count / (count - 1)) * t.ppf((1 + level) / 2, count - 1)) - 1)


def _rate(answered: np.ndarray, called: np.ndarray, axis: int) -> np.ndarray:
    import numpy as np

    return np.asarray(answered.sum(axis) / called.sum(axis))
