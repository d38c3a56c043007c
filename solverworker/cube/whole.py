"""The whole cube: where all twenty pieces are, against the centres."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple

from solverworker.cube.cross import CrossState
from solverworker.cube.pieces import CORNER_PLACES, CORNER_TURNS, EDGE_PLACES, EDGE_TURNS
from solverworker.cube.stickers import place_of
from solverworker.cube.turns import FACES


class Cube(NamedTuple):
    """A state of the whole cube.

    ``edges[e]``: the edge state (0 to 23) of edge ``e``; ``corners[c]``: the
    corner state (0 to 23) of corner ``c``; see :mod:`solverworker.cube.pieces`.
    """

    edges: tuple[int, ...]
    corners: tuple[int, ...]

    @property
    def cross(self) -> CrossState:
        """The state of the cross of the bottom colour."""
        df, dr, db, dl = self.edges[8:]
        return (df, dr, db, dl)

    @property
    def is_legal(self) -> bool:
        """Whether turns alone can make it: pieces, twists, flips and parity agree."""
        edge_places = [state // 2 for state in self.edges]
        corner_places = [state // 3 for state in self.corners]
        return (
            sorted(edge_places) == list(range(12))
            and sorted(corner_places) == list(range(8))
            and sum(state % 2 for state in self.edges) % 2 == 0
            and sum(state % 3 for state in self.corners) % 3 == 0
            and is_odd(edge_places) == is_odd(corner_places)
        )


SOLVED_CUBE: Final = Cube(tuple(range(0, 24, 2)), tuple(range(0, 24, 3)))


def turned(cube: Cube, turn: int) -> Cube:
    """Return the cube after a turn (0 to 17)."""
    edge_row, corner_row = EDGE_TURNS[turn], CORNER_TURNS[turn]
    return Cube(
        tuple([edge_row[state] for state in cube.edges]),
        tuple([corner_row[state] for state in cube.corners]),
    )


def after(turns: Iterable[int], cube: Cube = SOLVED_CUBE) -> Cube:
    """Return the cube after turns, from the solved one unless another is given.

    >>> after([0, 1, 0]) == SOLVED_CUBE
    True
    """
    for turn in turns:
        cube = turned(cube, turn)
    return cube


def inverted(cube: Cube) -> Cube:
    """Return the state that the inverse turns make.

    >>> inverted(after([3, 8])) == after([6, 5])
    True
    """
    edges, corners = [0] * 12, [0] * 8
    for edge, state in enumerate(cube.edges):
        edges[state >> 1] = 2 * edge + (state & 1)
    for corner, state in enumerate(cube.corners):
        corners[state // 3] = 3 * corner + -state % 3
    return Cube(tuple(edges), tuple(corners))


def is_odd(order: Sequence[int]) -> bool:
    """Return whether a permutation of 0 to n-1 needs an odd number of swaps.

    >>> is_odd([1, 0, 2])
    True
    """
    seen = [False] * len(order)
    odd = False
    for start in range(len(order)):
        length = 0
        place = start
        while not seen[place]:
            seen[place] = True
            place = order[place]
            length += 1
        odd ^= length % 2 == 0 and length > 0
    return odd


def faces_of_stickers(cube: Cube) -> tuple[str, ...]:
    """Return, for each of the 54 sticker places, the face on which its sticker is at home.

    Centres stay; the places are those of :mod:`solverworker.cube.stickers`.

    >>> "".join(faces_of_stickers(SOLVED_CUBE))[:18]
    'UUUUUUUUURRRRRRRRR'
    """
    shown = [face for face in FACES for _ in range(9)]
    for states, places, size in (
        (cube.edges, EDGE_PLACES, 2),
        (cube.corners, CORNER_PLACES, 3),
    ):
        for piece, state in enumerate(states):
            place, lie = divmod(state, size)
            for index, home_face in enumerate(places[piece]):
                letter = places[place][(index + lie) % size]
                shown[place_of(places[place], letter)] = home_face
    return tuple(shown)
