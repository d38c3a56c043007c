"""Reach: how far ahead somebody sees. Survival from the end of plans.

A solved plan's **tail** is the distance after its last moment that lost
something (:func:`solverworker.review.style.tail_of`): from there on it is a
shortest one. A plan that lost nothing, begun at distance d, was at risk of a
loss that arrives at t only for t < d. Unsolved plans have no tail.
"""

from __future__ import annotations

import threading
import warnings
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from training.statistics import LEVEL

STEPS = 8
"""No cross needs more moves."""

LEAST_AT_RISK = 5
"""A step with fewer plans at risk is not shown."""

_QUIETLY = threading.Lock()


@dataclass(frozen=True, slots=True)
class Ending:
    """How one solved plan ends: ``distance``, of its colour before it; ``tail``, None: exact."""

    distance: int
    tail: int | None


@dataclass(frozen=True, slots=True)
class Reach:
    """How far ahead somebody sees, over ``solved`` plans of which ``exact`` lost nothing.

    ``at_least[k - 1]``: S(k), the chance that a plan's last k moves are the
    shortest; None where fewer than LEAST_AT_RISK plans were at risk. ``low``
    and ``high``: its 90 % log-log limits, None where there are none (one-sided
    where S = 1). ``reach``: the most k, up to STEPS, with S(k) of one half or
    more; None when nothing is solved.
    """

    at_least: tuple[float | None, ...]
    low: tuple[float | None, ...]
    high: tuple[float | None, ...]
    reach: int | None
    solved: int
    exact: int

    @property
    def shown(self) -> int:
        """How many steps have enough plans to be shown."""
        return sum(step is not None for step in self.at_least)


def reach_of(endings: Iterable[Ending]) -> Reach:
    """Return the reach, by Kaplan and Meier (1958, JASA 53:457-481).

    Exact plans are censored at d - 1/2: at risk for t < d and no longer.

    >>> found = reach_of([Ending(6, None)] * 5 + [Ending(6, 4)] * 5)
    >>> found.at_least[3:6], found.reach
    ((1.0, 0.5, 0.5), 8)
    """
    return reach_of_counts(Counter((one.distance, one.tail) for one in endings))


def reach_of_counts(endings: Mapping[tuple[int, int | None], int], *, limits: bool = True) -> Reach:
    """The same from how many plans have each distance and tail.

    Without ``limits`` there are none: the curve alone is a product of eight factors.
    """
    solved = sum(endings.values())
    exact = sum(times for (_, tail), times in endings.items() if tail is None)
    nothing: tuple[float | None, ...] = (None,) * STEPS
    if not solved:
        return Reach(nothing, nothing, nothing, None, 0, 0)
    at_risk, arriving = [0] * STEPS, [0] * STEPS
    for (distance, tail), times in endings.items():
        for t in range(min(STEPS, distance if tail is None else tail + 1)):
            at_risk[t] += times
        if tail is not None and tail < STEPS:
            arriving[tail] += times
    chance, curve = 1.0, []
    for lost, risk in zip(arriving, at_risk, strict=True):
        chance *= 1 - lost / risk if lost else 1
        curve.append(chance)
    shown = [count >= LEAST_AT_RISK for count in at_risk]
    low = high = nothing
    if limits:
        low, high = (_where(one, shown) for one in _limits(endings))
    return Reach(
        at_least=_where(curve, shown),
        low=low,
        high=high,
        # A product of eight fractions that is one half exactly may come out a hair below.
        reach=sum(round(value, 12) >= 0.5 for value in curve),
        solved=solved,
        exact=exact,
    )


def _limits(endings: Mapping[tuple[int, int | None], int]) -> tuple[list[float], list[float]]:
    plans = [plan for plan, times in endings.items() for _ in range(times)]
    found = survival(
        [tail for _, tail in plans if tail is not None],
        [distance - 0.5 for distance, tail in plans if tail is None],
        # S(k) = P(tail >= k): every loss that arrives at k - 1 or before is past.
        [k - 0.75 for k in range(1, STEPS + 1)],
    )
    return found.low, found.high


def _where(values: list[float], shown: list[bool]) -> tuple[float | None, ...]:
    return tuple([value if there else None for value, there in zip(values, shown, strict=True)])


class Survival(NamedTuple):
    """A survival curve at some times, with log-log limits."""

    chance: list[float]
    low: list[float]
    high: list[float]


def survival(
    events: Sequence[float], censored: Sequence[float], at: Sequence[float], level: float = LEVEL
) -> Survival:
    """The product-limit estimate at some times, with limits (Kaplan and Meier 1958).

    ``censored``: still at risk until then, and no longer. Where nothing is lost
    the limit is one-sided, that of no event among those still at risk then;
    where everything is, that of nothing but events among the last of them.
    Raises ValueError when there is nothing at all.

    >>> survival([6, 6, 6, 7], [6, 9], [6.5]).chance
    [0.5]
    """
    if not events and not censored:
        raise ValueError("no survival of nothing")
    still = [sum(one >= time for one in (*events, *censored)) for time in at]
    edges = [(1 - level) ** (1 / there) if there else 0.0 for there in still]
    from scipy.stats import CensoredData, ecdf

    if not events:
        return Survival([1.0] * len(at), edges, [1.0] * len(at))
    curve = ecdf(CensoredData(uncensored=list(events), right=list(censored))).sf
    # What is said of warnings belongs to all threads: one at a time.
    with _QUIETLY, warnings.catch_warnings():
        # There are no two-sided limits where S is 1 or 0.
        warnings.simplefilter("ignore", RuntimeWarning)
        limits: Any = curve.confidence_interval(level, method="log-log")
    chance = [float(one) for one in curve.evaluate(at)]
    low = [float(one) for one in limits.low.evaluate(at)]
    high = [float(one) for one in limits.high.evaluate(at)]
    for place, value in enumerate(chance):
        if value == 1:
            low[place], high[place] = edges[place], 1.0
        elif value == 0:
            last = events.count(max(one for one in events if one <= at[place]))
            low[place], high[place] = 0.0, 1 - (1 - level) ** (1 / last)
    return Survival(chance, low, high)
