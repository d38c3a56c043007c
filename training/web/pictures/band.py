"""The band: how often an idea was answered, and how sure one may be of it.

A ruler from never to always, ten parts long. The band covers the rates that
the plans seen allow; the upright mark in it is the rate that was seen. A short
band says much, a long one little. It needs no colour.
"""

from __future__ import annotations

from dataclasses import dataclass

from training.statistics import Interval

LENGTH = 120.0
PARTS = 10
HEIGHT = 18.0
_MARGIN = 2.0


@dataclass(frozen=True, slots=True)
class Band:
    """What ``pictures/band.html`` needs; lengths in user units. ``target`` is an x, or None."""

    width: float
    height: float
    ticks: tuple[float, ...]
    left: float
    extent: float
    seen: float
    target: float | None


def draw_band(interval: Interval, target: float | None = None) -> Band:
    """Draw an interval of rates (0 to 1); ``target`` is a rate to compare it with.

    >>> band = draw_band(Interval(0.5, 0.25, 0.75))
    >>> (band.left, band.extent, band.seen)
    (32.0, 60.0, 62.0)
    """
    return Band(
        width=LENGTH + 2 * _MARGIN,
        height=HEIGHT,
        ticks=tuple(_x(part / PARTS) for part in range(PARTS + 1)),
        left=_x(interval.low),
        extent=round((interval.high - interval.low) * LENGTH, 2),
        seen=_x(interval.rate),
        target=None if target is None else _x(target),
    )


def _x(rate: float) -> float:
    return round(_MARGIN + rate * LENGTH, 2)
