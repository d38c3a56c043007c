"""A rate with how sure it is: the count, the likely limits in words, the band."""

from __future__ import annotations

from dataclasses import dataclass

from training import statistics
from training.statistics import Interval, Tally
from training.web.pictures.band import Band, draw_band
from training.web.saying.rates import answered_of_called, limits


@dataclass(frozen=True, slots=True)
class RateShown:
    """A rate in words with its band: what ``parts/rate.html`` needs.

    Below ``statistics.LEAST_CALLED`` there is the count alone: ``likely`` is
    empty and ``band`` None.
    """

    count: str
    likely: str
    band: Band | None


def show_rate(tally: Tally, interval: Interval | None, target: float | None = None) -> RateShown:
    """Answered of called, and what of it can be relied on.

    >>> show_rate(Tally(2, 3), statistics.wilson(2, 3)).likely
    ''
    >>> shown = show_rate(Tally(8, 20), statistics.wilson(8, 20))
    >>> shown.count, shown.likely
    ('8 of 20', 'likely 24 to 58 in 100')
    """
    said = answered_of_called(tally)
    if interval is None or tally.called < statistics.LEAST_CALLED:
        return RateShown(said, "", None)
    return RateShown(said, limits(interval), draw_band(interval, target))
