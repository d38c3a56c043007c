"""Who improved: one member and idea, or points against the others on the same scrambles.

Pure: the last four weeks against the eight before. Without a correction for
many looks somebody improves in most of them, so what is told is what stands
among all members and ideas of a club together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from training.statistics import LEAST_CALLED, Tally, stand_out

RECENT_WEEKS, EARLIER_WEEKS = 4, 8
FALSE_RATE = 0.10
"""The share of false ones among those told, at most, on average (Benjamini and Hochberg)."""

LEAST_SETS = 6
"""Fewer sets with plans that others made too say nothing of points."""


@dataclass(frozen=True, slots=True)
class IdeaChange:
    """How often a member answered an idea, in the eight weeks before and in the last four."""

    member: int
    code: str
    before: Tally
    after: Tally


@dataclass(frozen=True, slots=True)
class PointsChange:
    """A member's points a plan less the others', a set each, before and in the last weeks."""

    member: int
    before: tuple[float, ...]
    after: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class SetGain:
    """A member's points a plan less the others' in one set, beside those of the sets before."""

    member: int
    before: tuple[float, ...]
    now: float

    @property
    def gain(self) -> float:
        """By how much it was less than on average before."""
        return sum(self.before) / len(self.before) - self.now


Change = IdeaChange | PointsChange


def improved(changes: Sequence[Change], rate: float = FALSE_RATE) -> list[Change]:
    """Which changes are for the better and stand among all of these, in order.

    Ideas by Fisher's exact test, one-sided; points by Welch's, one-sided; all
    of them together by Benjamini and Hochberg. Where there is too little to
    compare, a change is not looked at.

    >>> better = IdeaChange(1, "base_turn", Tally(10, 40), Tally(18, 20))
    >>> same = IdeaChange(2, "base_turn", Tally(20, 40), Tally(10, 20))
    >>> [one.member for one in improved([better, same])]
    [1]
    """
    looked_at = [one for one in changes if _enough(one)]
    ideas = [one for one in looked_at if isinstance(one, IdeaChange)]
    points = [one for one in looked_at if isinstance(one, PointsChange)]
    chances = {id(one): p for one, p in zip(ideas, _more_often(ideas), strict=True)}
    chances |= {id(one): p for one, p in zip(points, _fewer_points(points), strict=True)}
    stands = stand_out([chances[id(one)] for one in looked_at], rate)
    return [one for one, better in zip(looked_at, stands, strict=True) if better]


def _enough(change: Change) -> bool:
    if isinstance(change, IdeaChange):
        return min(change.before.called, change.after.called) >= LEAST_CALLED
    return min(len(change.before), len(change.after)) >= LEAST_SETS


def _more_often(changes: Sequence[IdeaChange]) -> list[float]:
    """Chances of so many answered lately or more, given all that were answered."""
    from scipy.stats import hypergeom

    if not changes:
        return []
    after = np.array([(one.after.answered, one.after.called) for one in changes])
    before = np.array([(one.before.answered, one.before.called) for one in changes])
    both = after + before
    found = np.asarray(hypergeom.sf(after[:, 0] - 1, both[:, 1], both[:, 0], after[:, 1]))
    return [float(p) for p in found]


def _fewer_points(changes: Sequence[PointsChange]) -> list[float]:
    """Chances of a mean so much lower lately, were both the same; 1 where nothing varies."""
    from scipy.stats import ttest_ind_from_stats

    if not changes:
        return []

    def summed(samples: Sequence[tuple[float, ...]]) -> npt.NDArray[np.float64]:
        """Means, standard deviations and counts."""
        return np.array([(np.mean(one), np.std(one, ddof=1), len(one)) for one in samples]).T

    mean, spread, count = summed([one.after for one in changes])
    mean_then, spread_then, count_then = summed([one.before for one in changes])
    with np.errstate(divide="ignore", invalid="ignore"):
        found = ttest_ind_from_stats(
            mean,
            spread,
            count,
            mean_then,
            spread_then,
            count_then,
            equal_var=False,
            alternative="less",
        )
    return [1.0 if np.isnan(p) else float(p) for p in np.asarray(found.pvalue)]


def stood_out_once(gains: Sequence[SetGain], rate: float = FALSE_RATE) -> list[SetGain]:
    """In one set so much better than before that it stands among all of these; most first.

    One value beside a sample: Student's t with the spread of a single value, one-sided;
    all members together by Benjamini and Hochberg.

    >>> steady = (0.0, 1.0, 0.5, 0.2, 0.8, 0.4)
    >>> [one.member for one in stood_out_once([SetGain(1, steady, -4.0), SetGain(2, steady, 0.4)])]
    [1]
    """
    from scipy.stats import t

    looked_at = [one for one in gains if len(one.before) >= LEAST_SETS]
    chances = []
    for one in looked_at:
        sets = len(one.before)
        spread = float(np.std(one.before, ddof=1)) * (1 + 1 / sets) ** 0.5
        chances.append(float(t.sf(one.gain / spread, sets - 1)) if spread > 0 else 1.0)
    stands = stand_out(chances, rate)
    found = [one for one, better in zip(looked_at, stands, strict=True) if better]
    return sorted(found, key=lambda one: -one.gain)
