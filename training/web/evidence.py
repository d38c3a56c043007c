"""How evidence is said: counts, intervals and the three wordings, nothing surer than it is."""

from __future__ import annotations

from dataclasses import dataclass

from training import statistics
from training.selectors.reviews import RARELY_CALLED, TechniqueLine
from training.statistics import Interval, Standing, Tally
from training.web.pictures.band import Band, draw_band

RARELY = "rarely called for"


@dataclass(frozen=True, slots=True)
class RateShown:
    """A rate in words with its band.

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
    said = f"{tally.answered} of {tally.called}" if tally.called else "none yet"
    if interval is None or tally.called < statistics.LEAST_CALLED:
        return RateShown(said, "", None)
    return RateShown(said, f"likely {limits(interval)} in 100", draw_band(interval, target))


def limits(interval: Interval) -> str:
    """The limits of an interval, in hundredths, rounded outwards by no more than a half.

    >>> limits(Interval(0.4, 0.2444, 0.5782))
    '24 to 58'
    """
    return f"{round(100 * interval.low)} to {round(100 * interval.high)}"


def standing_words(line: TechniqueLine) -> str:
    """One of the three wordings; where evidence is missing, how much more of it."""
    if line.standing != Standing.UNKNOWN:
        return str(line.standing)
    if line.code in RARELY_CALLED:
        return f"{Standing.UNKNOWN}: {RARELY}"
    if line.more_needed:
        return f"{Standing.UNKNOWN}: {line.more_needed} more needed"
    return str(Standing.UNKNOWN)


def share(lost: float) -> str:
    """Moves of which a part may belong to another cause, to one decimal.

    >>> share(2.0), share(2.4999), share(0.04), share(0)
    ('2', '2.5', 'under 0.1', '0')
    """
    rounded = round(lost, 1)
    if lost and not rounded:
        return "under 0.1"
    return f"{rounded:.1f}".removesuffix(".0")


def share_of_moves(lost: float) -> str:
    """The same with its unit.

    >>> share_of_moves(1.0), share_of_moves(2.5)
    ('1 move', '2.5 moves')
    """
    said = share(lost)
    return f"{said} move" if said == "1" else f"{said} moves"
