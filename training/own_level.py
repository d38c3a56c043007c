"""A member's own level: a day beside the own weeks before, and the best of these. Pure.

Points are the table's: moves over the best, at most 8, and 8 for a cross that is not solved.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

WEEKS = 8
LEAST_PLANS = 10
"""With fewer plans in the weeks before nothing is said of them."""

LEAST_DAYS = 5
"""The best of fewer days says nothing either."""


@dataclass(frozen=True, slots=True)
class DaySum:
    """What one's checked plans of a day came to.

    ``crosses``: how many there were to plan; ``plans``: of how many a plan is checked;
    ``exact`` of these lost nothing.
    """

    day: date
    crosses: int
    plans: int
    points: int
    solved: int
    exact: int

    @property
    def whole(self) -> bool:
        """Whether every cross of the day has a checked plan."""
        return self.plans == self.crosses


@dataclass(frozen=True, slots=True)
class Level:
    """The own weeks before a day, for so many ``crosses`` of it.

    ``mean``: points on as many crosses, None where there are too few plans. ``best``: the whole
    day of as many crosses with the fewest points, the latest of equals; None with too few days.
    """

    crosses: int
    mean: Fraction | None
    best: DaySum | None


def level_before(days: Iterable[DaySum], day: date, crosses: int) -> Level:
    """The level in the weeks that end with the day before ``day``.

    >>> weeks = [DaySum(date(2026, 11, n), 5, 5, n % 3, 5, 5) for n in range(1, 8)]
    >>> found = level_before(weeks, date(2026, 11, 7), 10)
    >>> found.mean, found.best
    (Fraction(2, 1), None)
    >>> level_before(weeks, date(2026, 11, 7), 5).best.day.day
    6
    """
    begins = day - timedelta(weeks=WEEKS)
    before = [one for one in days if begins <= one.day < day]
    plans = sum(one.plans for one in before)
    mean = None
    if plans >= LEAST_PLANS:
        mean = Fraction(crosses * sum(one.points for one in before), plans)
    alike = [one for one in before if one.whole and one.crosses == crosses]
    best = None
    if len(alike) >= LEAST_DAYS:
        best = min(alike, key=lambda one: (one.points, -one.day.toordinal()))
    return Level(crosses, mean, best)


def of_day(days: Iterable[DaySum], day: date) -> DaySum | None:
    """What one day came to; None where no plan of it is checked."""
    return next((one for one in days if one.day == day), None)
