"""Stepping a cube through a plan and through the shortest solutions beside it.

The treads and tiles are plain links (``?way=1&step=3``), for which the server
draws the net at that step. The nets of all steps also go with the page as
letters, so that its script can change the picture without asking again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from solverworker.cube.net import net_steps
from solverworker.cube.notation import parse
from solverworker.cube.own_hold import as_held, is_same_way
from solverworker.report import LedgerRow, PlanReport, ShortestSolution
from training.web.pictures.net import Net, draw_net, net_code
from training.web.pictures.staircase import staircase
from training.web.pictures.stairs import Staircase
from training.web.saying.steps import say_after, say_step
from training.web.saying.stories import story

NEAREST = 3
"""Shortest solutions shown at once; the others are behind one tap."""


@dataclass(frozen=True, slots=True)
class Stop:
    """One token to tap. ``said`` tells where the cube stands after it."""

    step: int
    token: str
    href: str
    here: bool
    said: str


@dataclass(frozen=True, slots=True)
class Way:
    """A line of moves through the cube: the plan (number 0) or a shortest solution.

    ``story``: a shortest solution in words, a text a turn; ``own``: it is the plan itself.
    """

    number: int
    name: str
    text: str
    stops: tuple[Stop, ...]
    nets: str
    story: tuple[SafeString, ...] = ()
    own: bool = False


@dataclass(frozen=True, slots=True)
class LedgerLine:
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
    ledger: tuple[LedgerLine, ...]
    nearest: tuple[Way, ...]
    further: tuple[Way, ...]
    said: str
    further_said: str
    further_open: bool
    dotted: str
    shortest_count: int


def make_stepper(
    scramble: str, report: PlanReport, *, name: str, way: int = 0, step: int = 0
) -> Stepper:
    """Lay out a plan and its shortest solutions for stepping.

    ``way`` 0 is the plan, 1… the shortest solutions; ``step`` counts tokens.
    Numbers that do not exist are brought to the nearest that does: they come
    from an address that anybody can type.
    """
    solutions = _as_held(scramble, report)
    way = min(max(way, 0), len(solutions))
    ledgers = [report.ledger, *(_ledger_of(one.text, report.best) for one in solutions)]
    starts = [report.distance_start, *(report.best for _ in solutions)]
    step = min(max(step, 0), len(ledgers[way]))
    texts = [report.canonical, *(one.text for one in solutions)]
    names = [name, *(_("Shortest {number}").format(number=n + 1) for n in range(len(solutions)))]
    all_nets = [net_steps(scramble, text) for text in texts]
    ways = tuple(
        Way(
            number=number,
            name=names[number],
            text=texts[number],
            stops=_stops(number, ledger, starts[number], step if number == way else -1),
            nets=" ".join(net_code(faces) for faces in all_nets[number]),
            story=story(scramble, solutions[number - 1]) if number else (),
            own=bool(number) and _is_own(scramble, report, texts[number]),
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
        ledger=tuple(
            LedgerLine(
                step=number,
                token=row.token,
                href=f"?step={number}#cube",
                here=number == here,
                distance=row.distance,
                loss=row.loss,
                said=say_step(row),
                free=row.moves == 0,
                announce=own.stops[number].said,
            )
            for number, row in enumerate(report.ledger, start=1)
        ),
        nearest=ways[1 : 1 + NEAREST],
        further=ways[1 + NEAREST :],
        said=ways[way].stops[step].said,
        further_said=_further(len(solutions), report.shortest_count),
        further_open=way > NEAREST,
        dotted=solutions[0].text if solutions else "",
        shortest_count=report.shortest_count,
    )


def _as_held(scramble: str, report: PlanReport) -> tuple[ShortestSolution, ...]:
    """The shortest solutions as the member would write them: in the hold of a solved plan."""
    if not report.solved:
        return report.shortest
    return tuple(
        replace(one, text=as_held(scramble, report.canonical, one.text))
        if one.colour == report.colour
        else one
        for one in report.shortest
    )


def _is_own(scramble: str, report: PlanReport, way: str) -> bool:
    """Whether a shortest solution is the plan itself."""
    return report.excess == 0 and is_same_way(scramble, report.canonical, way)


def _ledger_of(text: str, best: int) -> tuple[LedgerRow, ...]:
    """The ledger of a shortest solution: every move of it brings the cross one nearer."""
    rows: list[LedgerRow] = []
    left = best
    for token in parse(text):
        left -= token.moves
        rows.append(LedgerRow(str(token), token.moves, left, 0))
    return tuple(rows)


def _stops(number: int, ledger: Sequence[LedgerRow], start: int, here: int) -> tuple[Stop, ...]:
    prefix = "?step=" if number == 0 else f"?way={number}&step="
    named = "" if number == 0 else _("Shortest {number}.").format(number=number) + " "
    stops = [("", start), *((row.token, row.distance) for row in ledger)]
    return tuple(
        Stop(step, token, f"{prefix}{step}#cube", step == here, named + say_after(token, distance))
        for step, (token, distance) in enumerate(stops)
    )


def _further(listed: int, there_are: int) -> str:
    """How many shortest solutions are behind one tap, and of how many where not all are listed."""
    if there_are == listed:
        return _("{number} more").format(number=listed - NEAREST)
    return _("{number} more of {all}").format(number=listed - NEAREST, all=there_are)
