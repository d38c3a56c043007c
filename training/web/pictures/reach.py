"""Reach drawn: eight columns, one for each number of moves before the end."""

from __future__ import annotations

from dataclasses import dataclass

from training.reach import STEPS, Reach

COLUMN, GAP, HEIGHT = 28.0, 12.0, 84.0
_ABOVE, _BELOW = 16.0, 18.0


@dataclass(frozen=True, slots=True)
class ReachColumn:
    """How many of ten solved plans have so many shortest moves at their end.

    ``full``: half of them or more. ``beside``: x of the line that shows the
    limits, from ``low`` to ``high``; ``low_of_ten``, ``high_of_ten``: they in words.
    """

    moves: int
    of_ten: str
    x: float
    middle: float
    y: float
    height: float
    label_y: float
    full: bool
    beside: float
    low: float
    high: float
    low_of_ten: str
    high_of_ten: str


@dataclass(frozen=True, slots=True)
class ReachDrawn:
    """What ``pictures/reach.html`` needs; lengths in user units."""

    width: float
    height: float
    floor: float
    half: float
    columns: tuple[ReachColumn, ...]


def draw_reach(reach: Reach) -> ReachDrawn:
    """Draw the steps that have plans enough to be shown, each with its limits.

    >>> from training.reach import Ending, reach_of
    >>> drawn = draw_reach(reach_of([Ending(6, 4)] * 5 + [Ending(6, None)] * 5))
    >>> [column.of_ten for column in drawn.columns], drawn.columns[4].full
    (['10', '10', '10', '10', '5', '5'], True)
    >>> fifth = drawn.columns[4]
    >>> fifth.high < fifth.y < fifth.low
    True
    """
    columns = []
    steps = zip(reach.at_least, reach.low, reach.high, strict=True)
    for place, (chance, low, high) in enumerate(steps):
        if chance is None or low is None or high is None:
            continue
        x = GAP / 2 + place * (COLUMN + GAP)
        columns.append(
            ReachColumn(
                moves=place + 1,
                of_ten=f"{10 * chance:.0f}",
                x=x,
                middle=x + COLUMN / 2,
                y=_y(chance),
                height=round(HEIGHT * chance, 2),
                label_y=_y(chance) - 5,
                full=chance >= 0.5,
                beside=round(x + COLUMN + GAP / 3, 2),
                low=_y(low),
                high=_y(high),
                low_of_ten=f"{10 * low:.0f}",
                high_of_ten=f"{10 * high:.0f}",
            )
        )
    return ReachDrawn(
        width=STEPS * (COLUMN + GAP),
        height=_ABOVE + HEIGHT + _BELOW,
        floor=_ABOVE + HEIGHT,
        half=_y(0.5),
        columns=tuple(columns),
    )


def _y(chance: float) -> float:
    return round(_ABOVE + HEIGHT * (1 - chance), 2)
