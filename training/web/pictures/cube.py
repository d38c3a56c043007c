"""The cube in two fixed views: from above at the right in front, and from below at the left
behind, so that every sticker is seen once.

Both are isometric. Lengths in space are in stickers, x to the right, y up, z to the front; the
middle of the cube is at 0. Only the stickers of the four cross edges and the six centres have
their colours; all else is quiet paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, pi, sin, sqrt
from typing import Final, Literal

from django.utils.safestring import SafeString

from solverworker.cube.frames import Frame, edges_of
from solverworker.cube.notation import Token
from solverworker.cube.pieces import EDGE_PLACES
from solverworker.cube.turns import FACES
from solverworker.report import COLOURS
from training.web.pictures.once import drawn_once

Vector = tuple[float, float, float]
Point = tuple[float, float]

UNIT: Final = 21.0
"""How long an edge of a sticker is drawn."""

OUT: Final[dict[str, Vector]] = {
    "U": (0, 1, 0),
    "R": (1, 0, 0),
    "F": (0, 0, 1),
    "D": (0, -1, 0),
    "L": (-1, 0, 0),
    "B": (0, 0, -1),
}
"""Where each face looks to."""

View = Literal["front", "back"]

SEEN: Final[dict[str, View]] = {face: "front" if face in "URF" else "back" for face in FACES}
"""In which view each face is seen."""

_ACROSS: Final = UNIT * sqrt(3) / 2
_ROOM: Final = 2.0
_GAP: Final = 14.0
_WIDE: Final = 3 * _ACROSS
_TALL: Final = 3 * UNIT
WIDTH: Final = round(2 * (2 * _WIDE + _ROOM) + _GAP, 1)
HEIGHT: Final = round(2 * (_TALL + _ROOM), 1)
MIDDLES: Final[dict[View, Point]] = {
    "front": (round(_ROOM + _WIDE, 2), round(_ROOM + _TALL, 2)),
    "back": (round(WIDTH - _ROOM - _WIDE, 2), round(_ROOM + _TALL, 2)),
}
_VIEWS: Final = " ".join(str(far) for far in (*MIDDLES["front"], *MIDDLES["back"], UNIT))
_INSET: Final = 0.46
_ROUND: Final = 1.2


@dataclass(frozen=True, slots=True, eq=False)
class Facelet:
    """A coloured sticker: the corners of its polygon, and the middle where its letter is."""

    points: str
    x: float
    y: float
    colour: str

    @property
    def drawn(self) -> SafeString:
        return drawn_once("pictures/facelet.html", self)


@dataclass(frozen=True, slots=True)
class Side:
    """A face as paper: its outline, and the lines between its stickers."""

    outline: str
    lines: str


@dataclass(frozen=True, slots=True)
class Turned:
    """A layer that a move turns. ``outlines``: of its parts on the faces; ``arrows``: for a
    quarter, a half and a quarter back, the shaft and its heads; none of a middle layer."""

    layer: str
    outlines: tuple[str, ...]
    arrows: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Paper:
    """All that never changes: six faces of paper, and over the stickers the layers that a move
    may turn, of which the page shows those that the picture names."""

    sides: tuple[Side, ...]
    layers: tuple[Turned, ...]

    @property
    def under(self) -> SafeString:
        return drawn_once("pictures/paper.html", self)

    @property
    def over(self) -> SafeString:
        return drawn_once("pictures/layers.html", self)


@dataclass(frozen=True, slots=True)
class CubePicture:
    """What ``pictures/cube.html`` needs.

    ``views``: for the script, the middles of both views and how long a sticker is.
    ``facelets``: the centres in the order of the faces, then two for each edge, that of the
    cross colour first. ``turned``: the layers of the last move, as the paper names them;
    ``quarters``: how far, 0 for none.
    """

    width: float
    height: float
    views: str
    paper: Paper
    facelets: tuple[Facelet, ...]
    turned: str
    quarters: int


def draw_cube(frame: Frame, last: Token | None, colour: str) -> CubePicture:
    """Draw a frame, and the move that led to it if there was one."""
    facelets = [_CENTRES[face](frame.centres[n]) for n, face in enumerate(FACES)]
    for edge, side in zip(frame.edges, edges_of(colour), strict=True):
        facelets += (_EDGES[edge](colour), _EDGES[edge ^ 1](side))
    layers = layers_in(last)
    return CubePicture(
        width=WIDTH,
        height=HEIGHT,
        views=_VIEWS,
        paper=PAPER,
        facelets=tuple(facelets),
        turned=" ".join(layers),
        quarters=last.quarters if last and layers else 0,
    )


def layers_in(last: Token | None) -> tuple[str, ...]:
    """The layers that a move turns, as the drawing names them; none for a turn of it all.

    >>> from solverworker.cube.notation import parse
    >>> [layers_in(token) for token in parse("R' Rw M x")]
    [('R',), ('R', 'M'), ('M',), ()]
    """
    if last is None or last.kind == "rotation":
        return ()
    if last.kind == "block":
        return (last.family[0], _MIDDLE[last.family[0]])
    return (last.family,)


_MIDDLE: Final = {"R": "M", "L": "M", "U": "E", "D": "E", "F": "S", "B": "S"}
_MIDDLE_AXIS: Final = {"M": OUT["R"], "E": OUT["U"], "S": OUT["F"]}


def project(view: View, at: Vector) -> Point:
    """Where a point in space is drawn in a view.

    >>> project("front", (0, 0, 0)) == MIDDLES["front"]
    True
    """
    x, y, z = at
    middle_x, middle_y = MIDDLES[view]
    across = (x - z) if view == "front" else (z - x)
    return middle_x + across * _ACROSS, middle_y + UNIT * ((x + z) / 2 - y)


def _add(*parts: tuple[float, Vector]) -> Vector:
    return (
        sum(far * along[0] for far, along in parts),
        sum(far * along[1] for far, along in parts),
        sum(far * along[2] for far, along in parts),
    )


def _cross(a: Vector, b: Vector) -> Vector:
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def _axes(face: str) -> tuple[Vector, Vector, Vector]:
    """Out of a face, and two directions on it."""
    out = OUT[face]
    along = OUT["F"] if face in "UD" else OUT["U"]
    return out, along, _cross(out, along)


def _write(view: View, corners: list[Vector]) -> str:
    return " ".join(
        f"{round(x, 1):g},{round(y, 1):g}" for x, y in (project(view, at) for at in corners)
    )


def _box(face: str, low: Point, high: Point) -> str:
    """A rectangle on a face, between two corners of its two directions."""
    out, along, across = _axes(face)
    corners = ((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1]))
    return _write(SEEN[face], [_add((1.5, out), (a, along), (b, across)) for a, b in corners])


class _Place:
    """A place of a sticker, which takes a colour."""

    def __init__(self, face: str, towards: Vector) -> None:
        out, along, across = _axes(face)
        middle = _add((1.5, out), (1, towards))
        corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
        points = _write(
            SEEN[face],
            [_add((1, middle), (a * _INSET, along), (b * _INSET, across)) for a, b in corners],
        )
        x, y = project(SEEN[face], middle)
        found = round(x, 1), round(y, 1)
        self.facelets = {colour: Facelet(points, *found, colour) for colour in COLOURS}

    def __call__(self, colour: str) -> Facelet:
        return self.facelets[colour]


_EDGES: Final = tuple(
    _Place(name[lie], OUT[name[1 - lie]]) for name in EDGE_PLACES for lie in (0, 1)
)
_CENTRES: Final = {face: _Place(face, (0, 0, 0)) for face in FACES}


def _side(face: str) -> Side:
    out, along, across = _axes(face)
    view = SEEN[face]
    lines: list[str] = []
    for far in (-0.5, 0.5):
        for one, other in ((along, across), (across, along)):
            ends = [_add((1.5, out), (far, one), (end, other)) for end in (-1.5, 1.5)]
            (x1, y1), (x2, y2) = (project(view, at) for at in ends)
            lines.append(f"M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}")
    return Side(_box(face, (-1.5, -1.5), (1.5, 1.5)), "".join(lines))


def _layer(name: str) -> Turned:
    """The parts of a layer on the faces: all of its own face, a strip of each around it."""
    middle = name in _MIDDLE_AXIS
    axis = _MIDDLE_AXIS[name] if middle else OUT[name]
    low, high = (-0.5, 0.5) if middle else (0.5, 1.5)
    outlines = [] if middle else [_box(name, (-1.5, -1.5), (1.5, 1.5))]
    for face in FACES:
        _, along, across = _axes(face)
        for number, direction in enumerate((along, across)):
            way = sum(a * b for a, b in zip(direction, axis, strict=True))
            if way:
                ends = sorted((low * way, high * way))
                if number == 0:
                    outlines.append(_box(face, (ends[0], -1.5), (ends[1], 1.5)))
                else:
                    outlines.append(_box(face, (-1.5, ends[0]), (1.5, ends[1])))
    arrows = () if middle else tuple((n, _arrow(name, n)) for n in (1, 2, 3))
    return Turned(name, tuple(outlines), arrows)


def _arrow(face: str, quarters: int) -> str:
    """Two arrows on a face, each over a corner, clockwise as it is seen from outside.

    A half turn has two heads on each.
    """
    out, along, _ = _axes(face)
    to_right = _cross(along, out)  # to the right of ``along``, seen from outside

    def at(turned: float) -> Point:
        """A point of the arrow's circle, so many quarters clockwise from ``along``."""
        angle = turned * pi / 2
        spot = _add((1.5, out), (_ROUND * cos(angle), along), (_ROUND * sin(angle), to_right))
        return project(SEEN[face], spot)

    parts: list[str] = []
    for first in (0.2, 2.2):
        ways = [first + 0.6 * step / 6 for step in range(7)]
        if quarters == 3:
            ways.reverse()
        shaft = [at(turned) for turned in ways]
        parts.append("M" + "L".join(_spot(point) for point in shaft))
        parts.append(_head(shaft[-1], shaft[-2]))
        if quarters == 2:
            parts.append(_head(shaft[3], shaft[2]))
    return "".join(parts)


def _head(tip: Point, tail: Point, size: float = 5.0) -> str:
    dx, dy = tip[0] - tail[0], tip[1] - tail[1]
    length = hypot(dx, dy)
    ux, uy = dx / length * size, dy / length * size
    one = (tip[0] - ux - uy * 0.75, tip[1] - uy + ux * 0.75)
    other = (tip[0] - ux + uy * 0.75, tip[1] - uy - ux * 0.75)
    return f"M{_spot(one)}L{_spot(tip)}L{_spot(other)}"


def _spot(point: Point) -> str:
    return f"{round(point[0], 1):g} {round(point[1], 1):g}"


PAPER: Final = Paper(
    tuple(_side(face) for face in FACES),
    tuple(_layer(name) for name in (*FACES, *_MIDDLE_AXIS)),
)
