"""A hatched bar for moves lost or points, as long as their share of the most."""

from __future__ import annotations

from dataclasses import dataclass

WIDTH = 120.0


@dataclass(frozen=True, slots=True)
class Bar:
    """What ``pictures/bar.html`` needs."""

    width: float
    box: float


def loss_bar(lost: float, most: float) -> Bar:
    """A bar for ``lost`` of at most ``most``; nothing lost draws nothing.

    >>> loss_bar(5, 10).width, loss_bar(0, 0).width
    (60.0, 0.0)
    """
    return Bar(width=round(WIDTH * lost / most, 2) if most else 0.0, box=WIDTH)
