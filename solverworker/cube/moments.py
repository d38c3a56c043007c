"""Moments and the normal form of a sequence of turns.

A **moment** is a maximal run of neighbouring turns about one axis; they
commute, so their order inside it means nothing. In **normal form** each
moment holds at most one turn of a face, turns that cancel are gone, and
moments that then meet are joined, until nothing changes.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, NamedTuple


class Moment(NamedTuple):
    """Quarter turns (0 to 3) of the two faces of an axis: 0 U D, 1 R L, 2 F B."""

    axis: int
    first: int
    second: int

    @property
    def turns(self) -> tuple[int, ...]:
        """The turns in canonical order: U before D, R before L, F before B."""
        pair = ((self.axis, self.first), (self.axis + 3, self.second))
        return tuple(3 * face + quarters - 1 for face, quarters in pair if quarters)


def normal_form(turns: Iterable[int]) -> tuple[Moment, ...]:
    """Return the moments of a sequence of turns in normal form.

    >>> [m.turns for m in normal_form([0, 9, 2, 3, 5, 11])]
    []
    """
    moments: list[Moment] = []
    for turn in turns:
        face, quarters = turn // 3, turn % 3 + 1
        axis = face % 3
        first = second = 0
        if moments and moments[-1].axis == axis:
            _, first, second = moments.pop()
        if face < 3:
            first = (first + quarters) % 4
        else:
            second = (second + quarters) % 4
        if first or second:
            moments.append(Moment(axis, first, second))
    return tuple(moments)


def in_normal_form(turns: Iterable[int]) -> list[int]:
    """Return the turns of the normal form, in canonical order.

    What :func:`normal_form` does, in numbers only, because every plan is told so twice.

    >>> in_normal_form([9, 0, 2, 3, 3])
    [9, 4]
    """
    moments: list[int] = []
    for turn in turns:
        axis = turn // 3 % 3
        moment = moments.pop() if moments and moments[-1] >> 4 == axis else axis << 4
        moment = _JOINED[moment][turn]
        if moment & 15:
            moments.append(moment)
    return [turn for moment in moments for turn in _TURNS[moment]]


def _joined(moment: int, turn: int) -> int:
    """A moment in one number (16 × axis + 4 × first + second), with a turn about its axis more."""
    first, second, quarters = moment >> 2 & 3, moment & 3, turn % 3 + 1
    if turn < 9:
        first = (first + quarters) % 4
    else:
        second = (second + quarters) % 4
    return moment >> 4 << 4 | first << 2 | second


_JOINED: Final = tuple(tuple(_joined(moment, turn) for turn in range(18)) for moment in range(48))
_TURNS: Final = tuple(
    Moment(moment >> 4, moment >> 2 & 3, moment & 3).turns for moment in range(48)
)
