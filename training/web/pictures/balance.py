"""The balance: a week's moves lost beside the group's, to the left fewer, to the right more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

HALF = 60.0


@dataclass(frozen=True, slots=True)
class Balance:
    """What ``pictures/balance.html`` needs: a bar from the middle, hatched where more was lost."""

    width: float
    middle: float
    left: float
    extent: float
    more: bool


def draw_balances(differences: Sequence[float | None]) -> tuple[Balance | None, ...]:
    """Bars on one scale, as long as the largest difference allows; None stays None.

    >>> less, nothing, more = draw_balances([-1.0, None, 0.5])
    >>> (less.left, less.extent, less.more), nothing, (more.left, more.extent, more.more)
    ((0.0, 60.0, False), None, (60.0, 30.0, True))
    """
    most = max((abs(one) for one in differences if one is not None), default=0.0)
    return tuple(None if one is None else _balance(one, most) for one in differences)


def _balance(difference: float, most: float) -> Balance:
    extent = round(HALF * abs(difference) / most, 2) if most else 0.0
    more = difference > 0
    return Balance(2 * HALF, HALF, HALF if more else round(HALF - extent, 2), extent, more)
