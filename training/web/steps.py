"""Stepping a cube through a plan and through the shortest solutions beside it.

The treads and tiles are plain links (``?way=1&step=3``), for which the server
draws the net at that step. The nets of all steps also go with the page as
letters, so that its script can change the picture without asking again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from solverworker.cube.net import net_steps
from solverworker.cube.notation import parse
from solverworker.report import LedgerRow, PlanReport
from training.web.pictures import Net, Staircase, draw_net, staircase
from training.web.pictures.net import net_code
from training.web.pictures.steps_in_words import say_after, say_step
from training.web.remarks import story

NEAREST = 3
"""Shortest solutions shown at once; the others are behind one tap."""


@dataclass(frozen=True, slots=True)
class Tile:
    """One token to tap. ``said`` tells where the cube stands after it."""

    step: int
    token: str
    href: str
    here: bool
    said: str


@dataclass(frozen=True, slots=True)
class Way:
    """A line of moves through the cube: the plan (number 0) or a shortest solution.

    ``story``: a shortest solution in words, a text a turn.
    """

    number: int
    name: str
    text: str
    tiles: tuple[Tile, ...]
    nets: str
    story: tuple[SafeString, ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the ledger table."""

    step: int
    token: str
    href: str
    here: bool
    distance: int
    loss: int
    said: str
    free: bool
    announce: str


@dataclass(frozen=True, slots=True)
class Stepper:
    """What ``parts/stepper.html`` needs."""

    stairs: Staircase
    net: Net
    own: Way
    rows: tuple[Row, ...]
    nearest: tuple[Way, ...]
    further: tuple[Way, ...]
    said: str
    further_open: bool
    dotted: str
    shortest_count: int
    unlisted: int


def make_stepper(
    scramble: str, report: PlanReport, way: int = 0, step: int = 0, name: str = "Your plan"
) -> Stepper:
    """Lay out a plan and its shortest solutions for stepping.

    ``way`` 0 is the plan, 1… the shortest solutions; ``step`` counts tokens.
    Numbers that do not exist are brought to the nearest that does: they come
    from an address that anybody can type.
    """
    solutions = report.shortest
    way = min(max(way, 0), len(solutions))
    ledgers = [report.ledger, *(_ledger_of(one.text, report.best) for one in solutions)]
    starts = [report.distance_start, *(report.best for _ in solutions)]
    step = min(max(step, 0), len(ledgers[way]))
    texts = [report.canonical, *(one.text for one in solutions)]
    names = [name, *(f"Shortest {n}" for n in range(1, len(solutions) + 1))]
    all_nets = [net_steps(scramble, text) for text in texts]
    ways = tuple(
        Way(
            number=number,
            name=names[number],
            text=texts[number],
            tiles=_tiles(number, ledger, starts[number], step if number == way else -1),
            nets=" ".join(net_code(faces) for faces in all_nets[number]),
            story=story(scramble, solutions[number - 1]) if number else (),
        )
        for number, ledger in enumerate(ledgers)
    )
    here = step if way == 0 else -1
    own = ways[0]
    return Stepper(
        stairs=staircase(
            report.ledger,
            report.distance_start,
            shortest=report.best if solutions else None,
            name=name,
            href="?step=",
            anchor="#cube",
            here=here,
        ),
        net=draw_net(all_nets[way][step]),
        own=own,
        rows=tuple(
            Row(
                step=number,
                token=row.token,
                href=f"?step={number}#cube",
                here=number == here,
                distance=row.distance,
                loss=row.loss,
                said=say_step(row),
                free=row.moves == 0,
                announce=own.tiles[number].said,
            )
            for number, row in enumerate(report.ledger, start=1)
        ),
        nearest=ways[1 : 1 + NEAREST],
        further=ways[1 + NEAREST :],
        said=ways[way].tiles[step].said,
        further_open=way > NEAREST,
        dotted=solutions[0].text if solutions else "",
        shortest_count=report.shortest_count,
        unlisted=report.shortest_count - len(solutions),
    )


def _ledger_of(text: str, best: int) -> tuple[LedgerRow, ...]:
    """The ledger of a shortest solution: every move of it brings the cross one nearer."""
    rows: list[LedgerRow] = []
    left = best
    for token in parse(text):
        left -= token.moves
        rows.append(LedgerRow(str(token), token.moves, left, 0))
    return tuple(rows)


def _tiles(number: int, ledger: Sequence[LedgerRow], start: int, here: int) -> tuple[Tile, ...]:
    prefix = "?step=" if number == 0 else f"?way={number}&step="
    named = "" if number == 0 else f"Shortest {number}. "
    stops = [("", start), *((row.token, row.distance) for row in ledger)]
    return tuple(
        Tile(step, token, f"{prefix}{step}#cube", step == here, named + say_after(token, distance))
        for step, (token, distance) in enumerate(stops)
    )
