"""What each of many ways to the cross leaves for the nearest of the four first pairs.

Where a way ends the cross is solved, so of the table of cross and pair only one
row is looked at. Each slot is looked at as front right, after a turn of the
whole cube about the vertical, so that one row serves all four.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from solverworker.cube.cross import SOLVED
from solverworker.cube.holds import RELABEL, rotate
from solverworker.cube.pieces import CORNER_TURNS, EDGE_TURNS
from solverworker.search.compiling import kernel
from solverworker.search.pair import HOME_CORNER, HOME_EDGE, PairTable, number_of

SLOTS: Final = 4
"""Number ``n`` is the slot that comes front right by ``n`` quarter turns y."""

QUARTERS: Final = tuple(RELABEL[rotate(0, "y", n) if n else 0] for n in range(SLOTS))
"""For each slot: a turn as it is written after the rotation that brings the slot front right."""

_CORNERS: Final = np.array(
    [[CORNER_TURNS[row[turn]] for turn in range(18)] for row in QUARTERS], dtype=np.uint8
)
_EDGES: Final = np.array(
    [[EDGE_TURNS[row[turn]] for turn in range(18)] for row in QUARTERS], dtype=np.uint8
)


class Pairs(NamedTuple):
    """Where the four pairs are, each as seen with its slot front right: uint8, 4 each."""

    corners: npt.NDArray[np.uint8]
    edges: npt.NDArray[np.uint8]


@kernel(
    "void(uint8[:, ::1], uint8[::1], uint8[::1], uint8[:, :, ::1], uint8[:, :, ::1], "
    "uint8[::1], uint8[::1], uint8[::1])"
)
def fill_left(
    ways: npt.NDArray[np.uint8],
    corners: npt.NDArray[np.uint8],
    edges: npt.NDArray[np.uint8],
    corner_turns: npt.NDArray[np.uint8],
    edge_turns: npt.NDArray[np.uint8],
    row: npt.NDArray[np.uint8],
    left: npt.NDArray[np.uint8],
    slots: npt.NDArray[np.uint8],
) -> None:
    """Fill, for each way, the least distance over the slots and the first slot that has it.

    ``row``: by corner and edge (24 × 24), how far a pair is while the cross is solved.
    """
    for number in range(ways.shape[0]):
        left[number] = 255
        for slot in range(corners.shape[0]):
            corner, edge = corners[slot], edges[slot]
            for index in range(ways.shape[1]):
                turn = ways[number, index]
                corner = corner_turns[slot, turn, corner]
                edge = edge_turns[slot, turn, edge]
            far = row[np.int64(corner) * 24 + np.int64(edge)]
            if far < left[number]:
                left[number] = far
                slots[number] = slot


def pairs_after(turns: Iterable[int]) -> Pairs:
    """Return where the four pairs of a solved cube are after turns.

    >>> pairs_after([]).corners.tolist() == [HOME_CORNER] * 4
    True
    """
    corners = np.full(SLOTS, HOME_CORNER, dtype=np.uint8)
    edges = np.full(SLOTS, HOME_EDGE, dtype=np.uint8)
    slots = np.arange(SLOTS)
    for turn in turns:
        corners, edges = _CORNERS[slots, turn, corners], _EDGES[slots, turn, edges]
    return Pairs(corners, edges)


def left_after(
    table: PairTable, pairs: Pairs, ways: npt.NDArray[np.uint8]
) -> tuple[npt.NDArray[np.uint8], npt.NDArray[np.uint8]]:
    """Return what each of some ways to the cross leaves: moves of the nearest pair, and its slot.

    ``pairs``: where the pairs are before; ``ways``: uint8, count × length, each
    of which solves the cross. A pair's edge is never where the cross's are, so
    every way has an answer.
    """
    left = np.empty(len(ways), dtype=np.uint8)
    slots = np.zeros(len(ways), dtype=np.uint8)
    fill_left(np.ascontiguousarray(ways), *pairs, _CORNERS, _EDGES, _row(table), left, slots)
    return left, slots


@cache
def _row(table: PairTable) -> npt.NDArray[np.uint8]:
    """Return the distances while the cross is solved, by corner and edge; 255 where none is."""
    row = np.full(24 * 24, 255, dtype=np.uint8)
    taken = {state // 2 for state in SOLVED}
    for corner in range(24):
        for edge in range(24):
            if edge // 2 not in taken:
                row[24 * corner + edge] = table.distance(number_of(SOLVED, corner, edge))
    return row
