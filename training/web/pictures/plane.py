"""The plane of the six rings: a cube seen from above as though it were glass.

The sphere that touches all twelve edges of a cube cuts each face in a circle, and two
circles of neighbouring faces touch where the edge between them is. Projected from its lowest
point onto a plane (stereographic: circles stay circles, what touches stays touching), the top
is the small ring, the four sides stand around it, and the bottom is the outer ring, whose own
side is all that lies outside it. The radii are 1 : 1 + √2 : (1 + √2)².

A turn carries its edges along its own ring, clockwise as its face is seen from outside. As all
but the bottom are seen from outside, the bottom's turns go round the other way.
"""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, sin, sqrt
from typing import Final

from solverworker.cube.notation import Token
from solverworker.cube.pieces import EDGE_PLACES
from solverworker.cube.turns import FACES

_GROWTH: Final = 1 + sqrt(2)
_TOP: Final = 23.0
_SIDE: Final = _TOP * _GROWTH
_OUTER: Final = _SIDE * _GROWTH
_REACH: Final = _TOP + _SIDE

RADII: Final = {
    "U": _TOP,
    "R": _SIDE,
    "F": _SIDE,
    "D": _OUTER,
    "L": _SIDE,
    "B": _SIDE,
}

CENTRES: Final = {
    "U": (0.0, 0.0),
    "R": (_REACH, 0.0),
    "F": (0.0, _REACH),
    "D": (0.0, 0.0),
    "L": (-_REACH, 0.0),
    "B": (0.0, -_REACH),
}


def _touching(one: str, other: str) -> tuple[float, float]:
    """Where two rings touch: on the line through their middles."""
    (x, y), radius = CENTRES[other], RADII[other]
    away = CENTRES[one] if one in "RFLB" else (0.0, 0.0)
    if one in "UD":
        far = RADII[one] / hypot(x, y)
        return x * far, y * far
    dx, dy = away[0] - x, away[1] - y
    part = radius / hypot(dx, dy)
    return x + dx * part, y + dy * part


PLACES: Final = tuple(_touching(name[0], name[1]) for name in EDGE_PLACES)
"""The twelve places of edges, in the order of ``EDGE_PLACES``."""


def _order_on(face: str) -> tuple[int, ...]:
    """The places on a ring in the order in which a clockwise turn carries edges on."""
    x, y = CENTRES[face]
    on = [number for number, name in enumerate(EDGE_PLACES) if face in name]
    on.sort(key=lambda number: atan2(PLACES[number][1] - y, PLACES[number][0] - x))
    return tuple(on[::-1] if face == "D" else on)


ORDER: Final = {face: _order_on(face) for face in FACES}


def facing(edge: int) -> float:
    """The direction in which the half with the cross colour lies, in degrees, clockwise.

    >>> facing(0), facing(16)  # at the top in front facing up; at the bottom in front facing down
    (-90.0, 90.0)
    """
    face = EDGE_PLACES[edge // 2][edge % 2]
    (x, y), (centre_x, centre_y) = PLACES[edge // 2], CENTRES[face]
    dx, dy = (x, y) if face == "D" else (centre_x - x, centre_y - y)
    return rounded(degrees(atan2(dy, dx)))


def legs(edge: int, token: Token) -> tuple[tuple[str, int, int], ...]:
    """The way of an edge in a move along its ring: face, place before, place after.

    A half turn has two legs. Nothing for an edge that the move's own outer layer does not
    carry: it stays, or goes with a middle layer or the whole cube.

    >>> from solverworker.cube.notation import parse
    >>> legs(0, parse("F2")[0])
    (('F', 0, 4), ('F', 4, 8))
    """
    face, place = token.family[0], edge // 2
    if token.kind not in ("face", "block") or face not in EDGE_PLACES[place]:
        return ()
    order = ORDER[face]
    at = order.index(place)
    steps = (-1,) if token.quarters == 3 else (1,) * token.quarters
    found = []
    for step in steps:
        found.append((face, order[at], order[(at + step) % 4]))
        at = (at + step) % 4
    return tuple(found)


def cos_sin(angle: float) -> tuple[float, float]:
    """The unit vector of an angle in degrees."""
    turned = angle * atan2(1, 1) / 45
    return cos(turned), sin(turned)


def trail(edges: list[int], tokens: tuple[Token, ...]) -> str:
    """The way of an edge through all moves, as the data of a path; empty where it never moves.

    A turn of the whole cube moves no edge against the others, so nothing is drawn of it.
    """
    parts = [
        way(edges[step], edges[step + 1], token)
        for step, token in enumerate(tokens)
        if edges[step] != edges[step + 1] and token.kind != "rotation"
    ]
    return " ".join(parts)


def way(edge: int, after: int, token: Token, *, short: float = 0.0) -> str:
    """The way of an edge in one move, as the data of a path, ending ``short`` of its place."""
    along = legs(edge, token)
    start = _point(PLACES[edge // 2])
    if not along:
        return f"M{start}L{_point(_before(PLACES[edge // 2], PLACES[after // 2], short))}"
    path = f"M{start}"
    for number, (face, before, place) in enumerate(along, start=1):
        radius, sweep = RADII[face], _sweep(face, before, place)
        end = PLACES[place]
        if number == len(along):
            end = _back_along(face, end, short, sweep)
        path += f"A{_number(radius)} {_number(radius)} 0 0 {sweep} {_point(end)}"
    return path


def _sweep(face: str, before: int, place: int) -> int:
    """1 for an arc clockwise on the page, 0 for one the other way."""
    order = ORDER[face]
    clockwise = order[(order.index(before) + 1) % 4] == place
    return int(clockwise != (face == "D"))


def _back_along(
    face: str, point: tuple[float, float], short: float, sweep: int
) -> tuple[float, float]:
    """The point of a ring so far before another."""
    (x, y), radius = CENTRES[face], RADII[face]
    angle = atan2(point[1] - y, point[0] - x) + (-1 if sweep else 1) * short / radius
    return x + radius * cos(angle), y + radius * sin(angle)


def _before(
    start: tuple[float, float], end: tuple[float, float], short: float
) -> tuple[float, float]:
    far = hypot(end[0] - start[0], end[1] - start[1])
    part = max(0.0, 1 - short / far) if far else 0.0
    return start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part


def _point(point: tuple[float, float]) -> str:
    return f"{_number(point[0])} {_number(point[1])}"


def rounded(value: float) -> float:
    return round(value, 2) + 0.0


def _number(value: float) -> str:
    return f"{rounded(value):g}"
