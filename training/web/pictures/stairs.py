"""What a staircase is made of, as frozen plain data: lines, treads, tiles, landings, flights."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

TreadKind = Literal["step", "lost", "turn"]


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line, with an optional figure at its left."""

    x1: float
    y1: float
    x2: float
    y2: float
    label: str
    label_y: float


@dataclass(frozen=True, slots=True)
class Tread:
    """One line to stand on. A face turn has one, a slice two of half the width."""

    kind: TreadKind
    x1: float
    x2: float
    y: float
    riser: float
    """y of the tread before: the riser goes from there to ``y`` at ``x1``."""


@dataclass(frozen=True, slots=True)
class Tile:
    """One token: its treads, its notch if it lost something, and how it is said.

    ``step`` counts tokens from 1; 0 is the landing before the first.
    """

    step: int
    token: str
    kind: TreadKind
    x: float
    width: float
    middle: float
    treads: tuple[Tread, ...]
    notch: tuple[float, float, float, float] | None
    loss_label: str
    loss_y: float
    said: str
    after: str


@dataclass(frozen=True, slots=True)
class Landing:
    """Where a flight begins: the cube before the first of its tokens."""

    step: int
    x: float
    end: float
    width: float
    middle: float
    y: float
    said: str
    after: str


@dataclass(frozen=True, slots=True)
class Flight:
    """One line of stairs, as high as the whole picture. Only the first has a landing to go to."""

    title: str
    landing: Landing
    tiles: tuple[Tile, ...]
    levels: tuple[Stroke, ...]
    body: str
    quiet: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Staircase:
    """What ``pictures/staircase.html`` needs; the heights hold for every flight.

    ``href`` and ``anchor`` stand before and after a step's number in its link;
    ``here`` is the step at which the cube beside it stands.
    """

    flights: tuple[Flight, ...]
    width: float
    height: float
    token_y: float
    mark_y: float
    depth: float
    description: str
    href: str
    anchor: str
    here: int
