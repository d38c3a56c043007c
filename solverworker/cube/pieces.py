"""Edges and corners: their places, and what each turn does to them.

A **piece state** is a place and how the piece lies in it. Each place is named
by its faces, the reference face first: up or down if it has one, else front
or back; corners go on clockwise. The piece state's number is
``size * place + lie``: the piece's own reference sticker lies on the face
that stands at ``lie`` in the place's name (edges: 0 unflipped, 1 flipped;
corners: 0, 1, 2 clockwise). Pieces are numbered as their homes.
"""

from __future__ import annotations

from typing import Final

from solverworker.cube.turns import FACES

EDGE_PLACES: Final[tuple[str, ...]] = (
    "UF", "UR", "UB", "UL", "FR", "FL", "BR", "BL", "DF", "DR", "DB", "DL",
)  # fmt: skip

CORNER_PLACES: Final[tuple[str, ...]] = (
    "URF", "UFL", "ULB", "UBR", "DFR", "DLF", "DBL", "DRB",
)  # fmt: skip

# The faces around each face, in the order in which its clockwise turn carries
# their stickers along.
_RINGS: Final[dict[str, str]] = {
    "U": "FLBR",
    "R": "UBDF",
    "F": "URDL",
    "D": "FRBL",
    "L": "UFDB",
    "B": "ULDR",
}


def _turns_of(places: tuple[str, ...]) -> tuple[tuple[int, ...], ...]:
    """Return, for each of the 18 turns, the piece state after it by the one before."""
    size = len(places[0])
    number = {frozenset(name): index for index, name in enumerate(places)}
    rows: list[tuple[int, ...]] = []
    for face in FACES:
        ring = _RINGS[face]
        carried = {start: ring[(index + 1) % 4] for index, start in enumerate(ring)}
        carried[face] = face
        quarter = list(range(size * len(places)))
        for index, name in enumerate(places):
            if face in name:
                faces = [carried[letter] for letter in name]
                goal = number[frozenset(faces)]
                for lie in range(size):
                    quarter[size * index + lie] = size * goal + places[goal].index(faces[lie])
        half = [quarter[state] for state in quarter]
        rows += [tuple(quarter), tuple(half), tuple(quarter[state] for state in half)]
    return tuple(rows)


EDGE_TURNS: Final = _turns_of(EDGE_PLACES)
"""``EDGE_TURNS[turn][edge state]`` is the edge state (0 to 23) after the turn."""

CORNER_TURNS: Final = _turns_of(CORNER_PLACES)
"""``CORNER_TURNS[turn][corner state]`` is the corner state (0 to 23) after the turn."""
