"""Two yardsticks for a rate: the coach's target first, the group beside it.

Members' rates are taken as spread about a rate of the group, g, with a weight,
M: Beta(gM, (1 - g)M). Neither is known, so both are summed over: g even
between .02 and .98, p(M) as M^(-1/2) per log M, which is p(a, b) as
(a + b)^(-5/2) (Gelman et al., *Bayesian Data Analysis*, 3rd ed., 5.3).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from training.statistics import LEAST_CALLED, Tally

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

# NumPy is loaded where it is needed: many a command asks for the words alone.

FLAG_AT = 0.90
"""Posterior probability from which something is said of the target."""

GROUP_AT = 0.97
"""Posterior probability from which the group is said to answer more often."""

ABOVE_TARGET, MOST_STRONG = 0.15, 0.95
"""Strong is so much above the target, and never asked for more than the second."""

LEANS_AT = 0.7

KEPT = 64
"""So many groups' readings are kept: a look stays the same for a week, its page is read often."""

_NEGLIGIBLE = 1e-6
"""Grid points of less than this share of the whole are left out."""


class Flag(StrEnum):
    """The only three things said of a member and an idea."""

    NEEDS_WORK = "likely_needs_work"
    STRONG = "strong"
    UNKNOWN = "not_enough_evidence_yet"

    @property
    def words(self) -> str:
        """As the API says it."""
        return self.value.replace("_", " ")


class Lean(StrEnum):
    """How "not enough evidence yet" leans."""

    BELOW = "rather_below"
    ABOVE = "rather_above"
    EITHER = "as_likely_as_not"


@dataclass(frozen=True)
class Spread:
    """What a group's tallies say of its members' rates: the posterior of g and M.

    Members who were never called say nothing.
    """

    tallies: tuple[Tally, ...]

    @cached_property
    def _points(self) -> tuple[npt.NDArray[np.float64], ...]:
        """The two parameters and the weight of each point of the grid that matters."""
        import numpy as np
        from scipy.special import betaln

        rates, weights = np.linspace(0.02, 0.98, 49), np.geomspace(2, 400, 40)
        rate, weight = np.meshgrid(rates, weights, indexing="ij")
        alpha, beta = (rate * weight).ravel(), ((1 - rate) * weight).ravel()
        told = -0.5 * np.log(weight).ravel()
        for tally, times in Counter(one for one in self.tallies if one.called).items():
            missed = tally.called - tally.answered
            told = told + times * (
                betaln(alpha + tally.answered, beta + missed) - betaln(alpha, beta)
            )
        share = np.exp(told - told.max())
        share /= share.sum()
        kept = share > _NEGLIGIBLE
        return alpha[kept], beta[kept], share[kept] / share[kept].sum()

    def below(self, tallies: Sequence[Tally], rates: float | Sequence[float]) -> list[float]:
        """The posterior probability that each member's true rate lies below a rate.

        ``tallies``: of members of the group, which are among its own; ``rates``:
        one for all or one each, 0 to 1.
        """
        import numpy as np
        from scipy.special import betainc

        alpha, beta, share = self._points
        answered = np.array([[one.answered] for one in tallies], dtype=float)
        missed = np.array([[one.called - one.answered] for one in tallies], dtype=float)
        limits = np.broadcast_to(np.asarray(rates, dtype=float), (len(tallies),))[:, None]
        found = betainc(alpha + answered, beta + missed, limits) @ share
        return [float(one) for one in found]

    def centre_below(self, rate: float) -> float:
        """The posterior probability that the rate of the group itself lies below a rate."""
        alpha, beta, share = self._points
        return float(share[alpha / (alpha + beta) < rate].sum())


def group_below(tallies: Sequence[Tally], target: float) -> bool:
    """Whether a group itself is below the target: everybody in it is learning this.

    >>> group_below([Tally(2, 10)] * 5, .7), group_below([Tally(7, 10)] * 5, .7)
    (True, False)
    """
    return _group_below(_sorted(tallies), target)


@lru_cache(maxsize=KEPT)
def _group_below(tallies: tuple[Tally, ...], target: float) -> bool:
    called = sum(one.called for one in tallies)
    return called >= LEAST_CALLED and Spread(tallies).centre_below(target) >= FLAG_AT


@dataclass(frozen=True, slots=True)
class Reading:
    """What one look says of a member and an idea.

    ``below_target``: the posterior probability that the true rate is below the
    target. ``group_more_often``: the group answers it more often.
    """

    tally: Tally
    below_target: float
    flag: Flag
    group_more_often: bool

    @property
    def lean(self) -> Lean:
        """How it leans, where there is not enough evidence."""
        if self.below_target >= LEANS_AT:
            return Lean.BELOW
        return Lean.ABOVE if self.below_target <= 1 - LEANS_AT else Lean.EITHER


def readings(tallies: Sequence[Tally], target: float) -> list[Reading]:
    """Read each tally of a group, in order.

    ``target``: the rate wanted, between 0 and 1. Equal tallies are read once.

    >>> [one.flag.value for one in readings([Tally(2, 20), Tally(19, 20), Tally(3, 4)], .7)]
    ['likely_needs_work', 'not_enough_evidence_yet', 'not_enough_evidence_yet']
    """
    known = _readings(_sorted(tallies), target)
    return [known[tally] for tally in tallies]


def _sorted(tallies: Sequence[Tally]) -> tuple[Tally, ...]:
    """The same for the same group, in whatever order its members come."""
    return tuple(sorted(tallies, key=lambda one: (one.called, one.answered)))


@lru_cache(maxsize=KEPT)
def _readings(tallies: tuple[Tally, ...], target: float) -> Mapping[Tally, Reading]:
    if not tallies:
        return {}
    different = list(dict.fromkeys(tallies))
    spread = Spread(tallies)
    answered, called = sum(one.answered for one in tallies), sum(one.called for one in tallies)
    others = [Tally(answered - one.answered, called - one.called) for one in different]
    rates = [one.answered / one.called if one.called else 0.0 for one in others]
    return {
        tally: _reading(tally, below_target, below_strong, below_group, the_others)
        for tally, the_others, below_target, below_strong, below_group in zip(
            different,
            others,
            spread.below(different, target),
            spread.below(different, min(target + ABOVE_TARGET, MOST_STRONG)),
            spread.below(different, rates),
            strict=True,
        )
    }


def _reading(
    tally: Tally, below_target: float, below_strong: float, below_group: float, others: Tally
) -> Reading:
    """``others``: of all others together."""
    enough = tally.called >= LEAST_CALLED
    flag = Flag.UNKNOWN
    if enough and below_target >= FLAG_AT:
        flag = Flag.NEEDS_WORK
    elif enough and below_strong <= 1 - FLAG_AT:
        flag = Flag.STRONG
    more = enough and others.called >= LEAST_CALLED and below_group >= GROUP_AT
    # Where all others always answer, every rate is below theirs, even one that is as high.
    more = more and tally.answered * others.called < others.answered * tally.called
    return Reading(tally, below_target, flag, more)


def standing(last: Flag, before: Flag) -> Flag:
    """The flag that stands after two weekly looks.

    One appears at the first look at which it holds and goes after two at which
    it fails; so it stands while it holds at one of the last two.

    >>> standing(Flag.UNKNOWN, Flag.NEEDS_WORK).value
    'likely_needs_work'
    """
    return before if last is Flag.UNKNOWN else last
