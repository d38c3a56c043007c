"""The cube as 54 stickers in space: the geometry from which pictures are drawn.

A sticker lies on a small cube at ``(x, y, z)``, each -1, 0 or 1 (x to the
right, y up, z to the front), and faces out along one axis. A token turns a
set of layers about one axis. Nothing here knows about edges, corners or
holds, so it is an independent check of the modules that do.

The 54 places are the faces ``U R F D L B``, nine each, row by row as they lie
in the usual net: U above F with its back row first, D below F with its front
row first, and L, F, R, B upright.
"""

from __future__ import annotations

from typing import Final

Vector = tuple[int, int, int]

_Sticker = tuple[Vector, Vector]  # where the small cube is, and where the sticker faces

# For each face: where it faces, the direction along a row, and the direction of the rows.
_LAYOUT: Final[dict[str, tuple[Vector, Vector, Vector]]] = {
    "U": ((0, 1, 0), (1, 0, 0), (0, 0, 1)),
    "R": ((1, 0, 0), (0, 0, -1), (0, -1, 0)),
    "F": ((0, 0, 1), (1, 0, 0), (0, -1, 0)),
    "D": ((0, -1, 0), (1, 0, 0), (0, 0, -1)),
    "L": ((-1, 0, 0), (0, 0, 1), (0, -1, 0)),
    "B": ((0, 0, -1), (-1, 0, 0), (0, -1, 0)),
}

# For each family: its axis, the layers that turn (their coordinate along that
# axis), and the direction: clockwise as seen from the face that it follows.
_LAYERS: Final[dict[str, tuple[Vector, frozenset[int]]]] = {
    **{face: (facing, frozenset((1,))) for face, (facing, _, _) in _LAYOUT.items()},
    **{face + "w": (facing, frozenset((0, 1))) for face, (facing, _, _) in _LAYOUT.items()},
    "M": (_LAYOUT["L"][0], frozenset((0,))),
    "E": (_LAYOUT["D"][0], frozenset((0,))),
    "S": (_LAYOUT["F"][0], frozenset((0,))),
    "x": (_LAYOUT["R"][0], frozenset((-1, 0, 1))),
    "y": (_LAYOUT["U"][0], frozenset((-1, 0, 1))),
    "z": (_LAYOUT["F"][0], frozenset((-1, 0, 1))),
}


def _dot(a: Vector, b: Vector) -> int:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Vector, b: Vector) -> Vector:
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def _clockwise(vector: Vector, about: Vector) -> Vector:
    """Turn a vector a quarter clockwise as seen from the end of the axis ``about``."""
    along = _dot(vector, about)
    across = _cross(vector, about)
    return (
        about[0] * along + across[0],
        about[1] * along + across[1],
        about[2] * along + across[2],
    )


def _places() -> list[_Sticker]:
    places: list[_Sticker] = []
    for facing, along, down in _LAYOUT.values():
        for row in (-1, 0, 1):
            for column in (-1, 0, 1):
                where = tuple(facing[i] + column * along[i] + row * down[i] for i in range(3))
                places.append((where, facing))  # type: ignore[arg-type]
    return places


_PLACES: Final[list[_Sticker]] = _places()


def place_of(piece: str, face: str) -> int:
    """Return the place (0 to 53) of the sticker that a piece's place has on a face.

    ``piece``: the faces of the place, in any order, such as ``"URF"``.

    >>> place_of("UF", "U"), place_of("URF", "R")
    (7, 9)
    """
    x, y, z = (sum(_LAYOUT[letter][0][i] for letter in piece) for i in range(3))
    return _PLACES.index(((x, y, z), _LAYOUT[face][0]))


def _permutations() -> dict[tuple[str, int], tuple[int, ...]]:
    number = {place: index for index, place in enumerate(_PLACES)}
    result: dict[tuple[str, int], tuple[int, ...]] = {}
    for family, (about, layers) in _LAYERS.items():
        source = list(range(54))
        for index, (where, facing) in enumerate(_PLACES):
            if _dot(where, about) in layers:
                goal = number[_clockwise(where, about), _clockwise(facing, about)]
                source[goal] = index
        quarter = tuple(source)
        half = tuple(quarter[place] for place in quarter)
        result[family, 1] = quarter
        result[family, 2] = half
        result[family, 3] = tuple(half[place] for place in quarter)
    return result


SOURCES: Final[dict[tuple[str, int], tuple[int, ...]]] = _permutations()
"""``SOURCES[family, quarters][place]``: the place from which its sticker came."""
