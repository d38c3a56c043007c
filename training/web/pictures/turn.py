"""Small pictures of the turns, for the key to the notation.

The cube is drawn in one oblique projection: its front square, with the top
and the right side leaning back. What moves is hatched and drawn in ink; an
arrow on it shows the way. A face that cannot be seen from there (left,
bottom, back) is shown by the edge of it that can.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

_CELL = 18.0
_LEAN_X, _LEAN_Y = 7.0, -6.0
_LEFT, _TOP = 6.0, 26.0

Face = Literal["front", "top", "right"]
Point = tuple[float, float]

# For every letter: the layers that move, as (axis, indices), and the way of the
# unmarked turn. Axis x counts columns from the left, y rows from the top,
# z layers from the front. The direction follows WCA 12a: clockwise as seen from
# the face itself; M, E, S follow L, D, F, and x, y, z follow R, U, F.
_LAYERS: dict[str, tuple[str, tuple[int, ...], int]] = {
    "R": ("x", (2,), 1),
    "L": ("x", (0,), -1),
    "M": ("x", (1,), -1),
    "Rw": ("x", (1, 2), 1),
    "Lw": ("x", (0, 1), -1),
    "x": ("x", (0, 1, 2), 1),
    "U": ("y", (0,), 1),
    "D": ("y", (2,), -1),
    "E": ("y", (1,), -1),
    "Uw": ("y", (0, 1), 1),
    "Dw": ("y", (1, 2), -1),
    "y": ("y", (0, 1, 2), 1),
    "F": ("z", (0,), 1),
    "B": ("z", (2,), -1),
    "S": ("z", (1,), 1),
    "Fw": ("z", (0, 1), 1),
    "Bw": ("z", (1, 2), -1),
    "z": ("z", (0, 1, 2), 1),
}

_NAMES = {
    "R": gettext_lazy("the right face"),
    "L": gettext_lazy("the left face"),
    "U": gettext_lazy("the top face"),
    "D": gettext_lazy("the bottom face"),
    "F": gettext_lazy("the front face"),
    "B": gettext_lazy("the back face"),
    "Rw": gettext_lazy("the two right layers"),
    "Lw": gettext_lazy("the two left layers"),
    "Uw": gettext_lazy("the two top layers"),
    "Dw": gettext_lazy("the two bottom layers"),
    "Fw": gettext_lazy("the two front layers"),
    "Bw": gettext_lazy("the two back layers"),
    "M": gettext_lazy("the middle layer between left and right, turning as L does"),
    "E": gettext_lazy("the middle layer between top and bottom, turning as D does"),
    "S": gettext_lazy("the middle layer between front and back, turning as F does"),
    "x": gettext_lazy("the whole cube, turning as R does"),
    "y": gettext_lazy("the whole cube, turning as U does"),
    "z": gettext_lazy("the whole cube, turning as F does"),
}


@dataclass(frozen=True, slots=True)
class Square:
    """One visible square as the points of a polygon; ``moving`` if the turn takes it along."""

    points: str
    moving: bool


@dataclass(frozen=True, slots=True)
class TurnPicture:
    """What ``pictures/turn.html`` needs: cells, the arrow's shaft and its heads."""

    token: str
    words: str
    width: float
    height: float
    cells: tuple[Square, ...]
    shaft: str
    heads: tuple[str, ...]


def _at(face: Face, across: float, along: float) -> Point:
    """Point of a face: ``across`` to the right and ``along`` down or back, in cells."""
    side = 3 * _CELL
    if face == "front":
        return _LEFT + across * _CELL, _TOP + along * _CELL
    if face == "top":
        return _LEFT + across * _CELL + along * _LEAN_X, _TOP + along * _LEAN_Y
    return _LEFT + side + across * _LEAN_X, _TOP + along * _CELL + across * _LEAN_Y


def _cell_place(face: Face, across: int, along: int) -> dict[str, int]:
    if face == "front":
        return {"x": across, "y": along, "z": 0}
    if face == "top":
        return {"x": across, "y": 0, "z": along}
    return {"x": 2, "y": along, "z": across}


def _path(points: list[Point]) -> str:
    return " ".join(f"{round(x, 2):g},{round(y, 2):g}" for x, y in points)


def _head(tip: Point, tail: Point, size: float = 5.5) -> str:
    """Two barbs at ``tip`` for a shaft that comes from ``tail``."""
    dx, dy = tip[0] - tail[0], tip[1] - tail[1]
    length = (dx * dx + dy * dy) ** 0.5 or 1.0
    ux, uy = dx / length * size, dy / length * size
    left = (tip[0] - ux - uy * 0.75, tip[1] - uy + ux * 0.75)
    right = (tip[0] - ux + uy * 0.75, tip[1] - uy - ux * 0.75)
    return _path([left, tip, right])


def draw_turn(token: str) -> TurnPicture:
    """Draw one token of the notation, for example ``R``, ``Uw'``, ``M`` or ``x2``.

    Raises KeyError for a token that is none.
    """
    letter, suffix = token, ""
    if token.endswith(("'", "2")):
        letter, suffix = token[:-1], token[-1]
    axis, layers, way = _LAYERS[letter]
    faces: tuple[Face, ...] = ("front", "top", "right")
    cells = tuple(
        Square(
            _path(
                [
                    _at(face, a, b),
                    _at(face, a + 1, b),
                    _at(face, a + 1, b + 1),
                    _at(face, a, b + 1),
                ]
            ),
            _cell_place(face, a, b)[axis] in layers,
        )
        for face in faces
        for b in range(3)
        for a in range(3)
    )
    shaft = _shaft(axis, layers)
    if (way < 0) != (suffix == "'"):
        shaft = shaft[::-1]
    heads = [_head(shaft[-1], shaft[-2])]
    if suffix == "2":
        first, second = shaft[0], shaft[1]
        middle = ((first[0] + second[0]) / 2, (first[1] + second[1]) / 2)
        heads.append(_head(middle, first))
    if suffix == "2":
        how = _("a half turn")
    elif letter in "MESxyz":
        how = _("a quarter turn the other way") if suffix else _("a quarter turn")
    else:
        how = _("a quarter turn anticlockwise") if suffix else _("a quarter turn clockwise")
    return TurnPicture(
        token=token,
        words=_("{layers}, {how}").format(layers=_NAMES[letter], how=how),
        width=2 * _LEFT + 3 * _CELL + 3 * _LEAN_X,
        height=_TOP + 3 * _CELL + 6,
        cells=cells,
        shaft=_path(shaft),
        heads=tuple(heads),
    )


def _shaft(axis: str, layers: tuple[int, ...]) -> list[Point]:
    """The arrow of a turn the way of R, U or F, drawn on the face that shows it best."""
    middle = sum(layers) / len(layers) + 0.5
    if axis == "x":
        return [_at("front", middle, 2.6), _at("front", middle, 0.0), _at("top", middle, 1.6)]
    if axis == "y":
        return [_at("right", 1.6, middle), _at("right", 0.0, middle), _at("front", 0.4, middle)]
    return [_at("top", 0.4, middle), _at("top", 3.0, middle), _at("right", middle, 2.2)]
