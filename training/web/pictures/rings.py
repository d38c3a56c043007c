"""The six rings: a cube seen from above as though it were glass.

Each face is a ring, each edge a chip where two rings touch; :mod:`training.web.pictures.plane`
has the geometry.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from django.utils.safestring import SafeString

from solverworker.cube.frames import Frame, edges_of
from solverworker.cube.notation import Token
from solverworker.cube.pieces import EDGE_PLACES
from solverworker.cube.turns import FACES
from training.web.pictures.once import drawn_once
from training.web.pictures.plane import (
    CENTRES,
    PLACES,
    RADII,
    cos_sin,
    facing,
    rounded,
    trail,
    way,
)

SIZE: Final = 302.0
"""The drawing is a square of this side around its middle (0, 0)."""

CHIP: Final = 14.0
"""The radius of an edge's chip."""

_LETTER: Final = 6.9
_SHORT: Final = CHIP + 3.5


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A face: its circle, and where its name and its centre's colour stand."""

    face: str
    x: float
    y: float
    radius: float
    disc_x: float
    disc_y: float
    disc: float
    name_x: float
    name_y: float


@dataclass(frozen=True, slots=True, eq=False)
class Plane:
    """All that never changes: the six rings and the twelve places."""

    rings: tuple[Ring, ...]
    places: tuple[tuple[str, float, float], ...]

    @property
    def drawn(self) -> SafeString:
        return drawn_once("pictures/plane.html", self)


@dataclass(frozen=True, slots=True, eq=False)
class Disc:
    """The colour of a face's centre, on its ring."""

    ring: Ring
    colour: str

    @property
    def drawn(self) -> SafeString:
        return drawn_once("pictures/disc.html", self)


@dataclass(frozen=True, slots=True, eq=False)
class Chip:
    """An edge: half its colour in each of its two rings.

    ``number``: which of the four; ``angle``: from the x axis to the half of the cross colour,
    in degrees, clockwise. ``x1``, ``y1``: of the letter on that half, from the chip's middle;
    ``x2``, ``y2``: of the other's.
    """

    number: int
    colour: str
    side: str
    x: float
    y: float
    angle: float
    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def drawn(self) -> SafeString:
        return drawn_once("pictures/chip.html", self)


@dataclass(frozen=True, slots=True)
class Travel:
    """Where an edge goes, as data of paths. ``trail``: through all moves; ``arc``: in the last
    one, stopping short of its place, empty where it stayed."""

    side: str
    trail: str
    arc: str


@dataclass(frozen=True, slots=True)
class Rings:
    """What ``pictures/rings.html`` needs.

    ``turned``: the face that the last move turned; ``whole``: that of the cross, when all four
    edges are home; each may be empty.
    """

    size: float
    half: float
    plane: Plane
    discs: tuple[Disc, ...]
    travels: tuple[Travel, ...]
    chips: tuple[Chip, ...]
    turned: str
    whole: str


def draw_rings(
    frames: tuple[Frame, ...], tokens: tuple[Token, ...], step: int, colour: str
) -> Rings:
    """Draw a cross after ``step`` moves of a plan.

    ``frames``, ``tokens``: the plan's, one frame more than tokens. Raises IndexError for a
    step that is not there.
    """
    frame, last = frames[step], tokens[step - 1] if step else None
    sides = edges_of(colour)
    turns = last is not None and last.kind in ("face", "block")
    return Rings(
        size=SIZE,
        half=-SIZE / 2,
        plane=PLANE,
        discs=tuple(map(_disc, PLANE.rings, frame.centres)),
        travels=tuple(
            _travel(number, side, frames, tokens, step) for number, side in enumerate(sides)
        ),
        chips=tuple(
            _chip(number, colour, side, frame.edges[number]) for number, side in enumerate(sides)
        ),
        turned=last.family[0] if last and turns else "",
        whole=FACES[frame.centres.index(colour)] if is_whole(frame, colour) else "",
    )


def is_whole(frame: Frame, colour: str) -> bool:
    """Whether the cross is solved: each edge between the centres of its own two colours."""
    for edge, side in zip(frame.edges, edges_of(colour), strict=True):
        name, lie = EDGE_PLACES[edge // 2], edge % 2
        at = [frame.centres[FACES.index(face)] for face in (name[lie], name[1 - lie])]
        if at != [colour, side]:
            return False
    return True


def _ring(face: str) -> Ring:
    x, y = CENTRES[face]
    corner = rounded(SIZE / 2 - 15)
    disc_x, disc_y = (corner, corner) if face == "D" else (x, y)
    return Ring(
        face=face,
        x=rounded(x),
        y=rounded(y),
        radius=rounded(RADII[face]),
        disc_x=rounded(disc_x),
        disc_y=rounded(disc_y),
        disc=8.6 if face == "U" else 10.5,
        name_x=-19.0 if face == "D" else 0.0,
        name_y=5.0 if face == "D" else 24.0,
    )


PLANE: Final = Plane(
    tuple(_ring(face) for face in FACES),
    tuple((name, rounded(x), rounded(y)) for name, (x, y) in zip(EDGE_PLACES, PLACES, strict=True)),
)


@lru_cache(maxsize=6 * 6)
def _disc(ring: Ring, colour: str) -> Disc:
    return Disc(ring, colour)


@lru_cache(maxsize=4 * 24 * 24)
def _chip(number: int, colour: str, side: str, edge: int) -> Chip:
    x, y = PLACES[edge // 2]
    angle = facing(edge)
    along, across = cos_sin(angle)
    return Chip(
        number=number,
        colour=colour,
        side=side,
        x=rounded(x),
        y=rounded(y),
        angle=angle,
        x1=rounded(_LETTER * along),
        y1=rounded(_LETTER * across),
        x2=rounded(-_LETTER * along),
        y2=rounded(-_LETTER * across),
    )


def _travel(
    number: int, side: str, frames: tuple[Frame, ...], tokens: tuple[Token, ...], step: int
) -> Travel:
    arc = ""
    if step and tokens[step - 1].kind != "rotation":
        before, edge = (frames[at].edges[number] for at in (step - 1, step))
        if before != edge:
            arc = way(before, edge, tokens[step - 1], short=_SHORT)
    return Travel(side, trail([frame.edges[number] for frame in frames], tokens), arc)
