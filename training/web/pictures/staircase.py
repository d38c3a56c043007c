"""The staircase: a plan as steps towards the solved cross.

Across, the plan's tokens as tiles; down, the distance left. A plan too long
for one line of a phone goes on in a second *flight*, as stairs do, so nothing
has to be scrolled sideways and a printed sheet shows all of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from django.utils.translation import gettext as _

from solverworker.report import LedgerRow
from training.web.pictures.stairs import Flight, Landing, Staircase, Stroke, Tile, Tread, TreadKind
from training.web.saying.steps import describe, say_after, say_loss, say_tread

WIDTH = 312.0
"""Width of a flight in user units: about one to one on a phone 344 px wide."""

_LEFT = 18.0
_LANDING = 22.0
_RIGHT = 6.0
_TOP = 26.0
_FOOT = 30.0
_LEVEL = 15.0
_LINE = 10.5
_TURN = 0.72
"""A rotation's share of a tile: it costs nothing, so it gets a thin mark."""
_WIDEST, _NARROWEST = 44.0, 29.0


def _units(moves: int) -> float:
    return _TURN if moves == 0 else 1.0


def _flights_of(rows: Sequence[LedgerRow], room: float) -> list[list[int]]:
    """Cut the tokens into lines of at most ``room`` units, evenly filled."""
    total = sum(_units(row.moves) for row in rows)
    count = max(1, -(-int(total * 100) // int(room * 100)))
    aim = total / count
    flights: list[list[int]] = [[]]
    filled = 0.0
    for index, row in enumerate(rows):
        unit = _units(row.moves)
        if flights[-1] and (filled + unit > room + 1e-9 or filled + unit / 2 > aim):
            flights.append([])
            filled = 0.0
        flights[-1].append(index)
        filled += unit
    return flights


def staircase(
    ledger: Sequence[LedgerRow],
    distance_start: int,
    *,
    shortest: int | None = None,
    name: str,
    href: str = "?step=",
    anchor: str = "",
    here: int = 0,
) -> Staircase:
    """Draw ``ledger`` from ``distance_start`` (face turns) down to the floor.

    ``shortest``: length of a shortest solution, drawn as a dotted line from
    the same landing; None draws none. ``name`` begins the picture's title.
    For ``href``, ``anchor`` and ``here`` see :class:`Staircase`.

    The report has one row a token, so the two treads of a slice share its drop evenly.

    >>> rows = [LedgerRow("D", 1, 1, 1), LedgerRow("R", 1, 0, 0)]
    >>> stairs = staircase(rows, 1, name="Your plan")
    >>> [tile.kind for tile in stairs.flights[0].tiles], stairs.flights[0].tiles[0].loss_label
    (['lost', 'step'], 'lost 1')
    """
    highest = max([distance_start, shortest or 0, 1, *(row.distance for row in ledger)])
    above = _LINE if any(a.loss and b.loss for a, b in pairwise(ledger)) else 0.0
    floor = _TOP + above + highest * _LEVEL
    room = WIDTH - _LEFT - _LANDING - _RIGHT
    lines = _flights_of(ledger, room / _NARROWEST)
    fullest = max((sum(_units(ledger[i].moves) for i in line) for line in lines), default=1.0)
    tile_width = min(_WIDEST, room / max(fullest, 1.0))
    flights: list[Flight] = []
    before, spent = distance_start, 0
    for line in lines:
        start_level, start_spent = before, spent
        x = _LEFT + _LANDING
        tiles: list[Tile] = []
        for index in line:
            row = ledger[index]
            tile = _tile(index + 1, spent + 1, row, before, x, tile_width, floor, after=tiles[-1:])
            tiles.append(tile)
            x += tile.width
            before, spent = row.distance, spent + row.moves
        flights.append(
            Flight(
                title=_flight_title(name, len(flights) + 1, len(lines)),
                landing=_landing(line, start_level, floor),
                tiles=tuple(tiles),
                levels=_levels(highest, floor),
                body=_body(tiles, start_level, floor),
                quiet=()
                if shortest is None
                else _quiet(tiles, ledger, shortest, start_spent, floor, tile_width),
            )
        )
    return Staircase(
        flights=tuple(flights),
        width=WIDTH,
        height=round(floor + _FOOT, 2),
        token_y=round(floor + 19, 2),
        mark_y=round(floor + 14, 2),
        depth=round(floor + _FOOT - 4, 2),
        description=describe(ledger, distance_start, shortest),
        href=href,
        anchor=anchor,
        here=here,
    )


def _flight_title(name: str, number: int, flights: int) -> str:
    """What a screen reader says of a flight; which part it is, where there are several."""
    if flights == 1:
        return _("{name}, step by step").format(name=name)
    return _("{name}, step by step, part {number} of {flights}").format(
        name=name, number=number, flights=flights
    )


def _landing(line: Sequence[int], level: int, floor: float) -> Landing:
    step = line[0] if line else 0
    after = say_after("", level)
    return Landing(
        step=step,
        x=_LEFT,
        end=_LEFT + _LANDING,
        width=_LANDING,
        middle=_LEFT + _LANDING / 2,
        y=_height(level, floor),
        said=after,
        after=after,
    )


def _height(distance: float, floor: float) -> float:
    return round(floor - distance * _LEVEL, 2)


def _tile(
    step: int,
    number: int,
    row: LedgerRow,
    before: int,
    x: float,
    tile_width: float,
    floor: float,
    *,
    after: Sequence[Tile],
) -> Tile:
    width = tile_width * _units(row.moves)
    kind: TreadKind = "turn" if row.moves == 0 else "lost" if row.loss else "step"
    parts = 2 if row.moves == 2 else 1
    treads: list[Tread] = []
    level = float(before)
    for part in range(parts):
        next_level = before + (row.distance - before) * (part + 1) / parts
        treads.append(
            Tread(
                kind=kind,
                x1=round(x + width * part / parts, 2),
                x2=round(x + width * (part + 1) / parts, 2),
                y=_height(next_level, floor),
                riser=_height(level, floor),
            )
        )
        level = next_level
    notch = None
    label, label_y = "", 0.0
    if row.loss:
        top = treads[-1].y
        notch = (round(x + 1, 2), top, round(width - 2, 2), min(row.loss * _LEVEL, floor - top))
        label = say_loss(row.loss)
        label_y = round(min(tread.y for tread in treads) - 6, 2)
        # A label is about as wide as a tile: beside another it stands a line higher.
        for one in after:
            if one.loss_label and abs(one.loss_y - label_y) < _LINE:
                label_y = round(one.loss_y - _LINE, 2)
    return Tile(
        step=step,
        token=row.token,
        kind=kind,
        x=round(x, 2),
        width=round(width, 2),
        middle=round(x + width / 2, 2),
        treads=tuple(treads),
        notch=notch,
        loss_label=label,
        loss_y=label_y,
        said=say_tread(number, row),
        after=say_after(row.token, row.distance),
    )


def _levels(highest: int, floor: float) -> tuple[Stroke, ...]:
    return tuple(
        Stroke(
            _LEFT,
            _height(level, floor),
            WIDTH - _RIGHT,
            _height(level, floor),
            str(level) if level % 2 == 0 else "",
            _height(level, floor) + 4,
        )
        for level in range(highest + 1)
    )


def _body(tiles: Sequence[Tile], start_level: int, floor: float) -> str:
    """Points of the shape under the stairs, landing included."""
    y = _height(start_level, floor)
    points: list[tuple[float, float]] = [(_LEFT, floor), (_LEFT, y), (_LEFT + _LANDING, y)]
    for tile in tiles:
        for tread in tile.treads:
            points += [(tread.x1, tread.y), (tread.x2, tread.y)]
    points.append((points[-1][0], floor))
    return _points(points)


def _points(points: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{round(x, 2):g},{round(y, 2):g}" for x, y in points)


def _quiet(
    tiles: Sequence[Tile],
    ledger: Sequence[LedgerRow],
    shortest: int,
    spent: int,
    floor: float,
    tile_width: float,
) -> tuple[str, ...]:
    """The dotted line of a shortest solution: one level down with every move."""
    level = shortest - spent
    if level < 0 or (level == 0 and spent):
        return ()
    start = _height(level, floor)
    points: list[tuple[float, float]] = [(_LEFT, start), (_LEFT + _LANDING, start)]
    for tile in tiles:
        moves = ledger[tile.step - 1].moves
        if moves == 0:
            points.append((tile.x + tile.width, _height(level, floor)))
            continue
        for tread in tile.treads:
            if level == 0:
                break
            level -= 1
            points += [(tread.x1, _height(level, floor)), (tread.x2, _height(level, floor))]
    x = points[-1][0]
    last = not tiles or tiles[-1].step == len(ledger)
    while last and level > 0 and x + tile_width <= WIDTH - _RIGHT + 0.01:
        level -= 1
        points += [(x, _height(level, floor)), (x + tile_width, _height(level, floor))]
        x += tile_width
    return (_points(points),)
