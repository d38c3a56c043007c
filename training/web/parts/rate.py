"""A rate with how sure it is: the count, the limits in words, the band; plainly for members."""

from __future__ import annotations

from dataclasses import dataclass

from training import statistics
from training.statistics import Interval, Tally
from training.web.pictures.band import Band, draw_band
from training.web.saying.plainly import in_ten
from training.web.saying.rates import answered_of_called, limits


@dataclass(frozen=True, slots=True)
class RateShown:
    """A rate in words with its band: what ``parts/rate.html`` needs.

    Below ``statistics.LEAST_CALLED`` there is the count alone: ``likely`` is
    empty and ``band`` None. ``plain``: how it is said to members, who find count and limits a
    tap away; empty where the count alone is said.
    """

    count: str
    likely: str
    band: Band | None
    plain: str = ""


def show_rate(
    tally: Tally,
    interval: Interval | None,
    target: float | None = None,
    *,
    plainly: bool = False,
) -> RateShown:
    """Answered of called, and what of it can be relied on; ``plainly``: for a member to read.

    >>> show_rate(Tally(2, 3), statistics.wilson(2, 3)).likely
    ''
    >>> shown = show_rate(Tally(8, 20), statistics.wilson(8, 20))
    >>> shown.count, shown.likely
    ('8 of 20', 'likely 24 to 58 in 100')
    >>> show_rate(Tally(8, 20), statistics.wilson(8, 20), plainly=True).plain
    '4 in 10'
    """
    said = answered_of_called(tally)
    if interval is None or tally.called < statistics.LEAST_CALLED:
        return RateShown(said, "", None)
    plain = in_ten(tally.answered, tally.called) if plainly else ""
    return RateShown(said, limits(interval), draw_band(interval, target), plain)
