"""A state of the whole cube as it is seen in another hold."""

from __future__ import annotations

from typing import Final

from solverworker.cube.holds import BOTTOMS, HOLDS
from solverworker.cube.pieces import CORNER_PLACES, EDGE_PLACES
from solverworker.cube.turns import FACES
from solverworker.cube.whole import Cube


def _stickers_in_holds(places: tuple[str, ...]) -> tuple[tuple[int, ...], ...]:
    """Return, for each hold, where each sticker (a piece state of hold 0) is seen."""
    size = len(places[0])
    number = {
        (frozenset(name), name[lie]): size * place + lie
        for place, name in enumerate(places)
        for lie in range(size)
    }
    rows: list[tuple[int, ...]] = []
    for hold in HOLDS:
        at = {FACES[centre]: FACES[place] for place, centre in enumerate(hold)}
        rows.append(
            tuple(
                number[frozenset(at[letter] for letter in name), at[name[lie]]]
                for name in places
                for lie in range(size)
            )
        )
    return tuple(rows)


EDGES_IN_HOLD: Final = _stickers_in_holds(EDGE_PLACES)
CORNERS_IN_HOLD: Final = _stickers_in_holds(CORNER_PLACES)
"""For each hold: where each sticker (a piece state as in hold 0) is seen."""

DOWN: Final[tuple[int, ...]] = tuple(BOTTOMS[0][face].hold for face in range(6))
"""For each face: the hold, from hold 0, in which it is at the bottom."""


def seen_in(cube: Cube, hold: int) -> Cube:
    """Return a state as it is seen in a hold, every piece named by where it belongs there.

    >>> from solverworker.cube.holds import RELABEL
    >>> from solverworker.cube.whole import after
    >>> seen_in(after([3, 8]), 5) == after([RELABEL[5][3], RELABEL[5][8]])
    True
    """
    edges, corners = EDGES_IN_HOLD[hold], CORNERS_IN_HOLD[hold]
    edges_there, corners_there = [0] * 12, [0] * 8
    for edge, state in enumerate(cube.edges):
        home = edges[2 * edge]
        edges_there[home >> 1] = edges[state] ^ (home & 1)
    for corner, state in enumerate(cube.corners):
        home, goal = corners[3 * corner], corners[state]
        corners_there[home // 3] = goal - goal % 3 + (goal - home) % 3
    return Cube(tuple(edges_there), tuple(corners_there))
