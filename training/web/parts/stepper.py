"""Stepping a cube through a plan, and through what there was instead.

The treads and tiles are plain links (``?way=1&step=3``), for which the server
draws the cube at that step. All steps also go with the page as letters, so
that its script can change the pictures without asking again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from solverworker.cube.net import net_steps
from solverworker.cube.own_hold import as_held, is_same_way
from solverworker.report import PlanReport, ShortestSolution
from training.web.parts.drawn import CrossDrawn, draw_cross
from training.web.parts.instead import LostShown, way_turned_first, ways_instead
from training.web.parts.ways import Way, ledger_of, make_way, say_shortest
from training.web.pictures.net import Net, draw_net
from training.web.pictures.staircase import staircase
from training.web.pictures.stairs import Staircase
from training.web.saying.second_looks import Forgotten
from training.web.saying.steps import say_step
from training.web.saying.stories import LostMoveTold, lost_moves, story

NEAREST = 3
"""Shortest solutions shown at once; the others are behind one tap."""


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """A line of the ledger table."""

    step: int
    token: str
    spoken: str
    href: str
    here: bool
    distance: int
    loss: int
    said: str
    free: bool
    announce: str


@dataclass(frozen=True, slots=True)
class Steering:
    """Where the cube stands, and where the next tap leads; empty at an end of the way.

    ``again``: where one tries on from here, without way and step; empty where nobody may.
    """

    way: int
    step: int
    back: str
    on: str
    again: str = ""


@dataclass(frozen=True, slots=True)
class Stepped:
    """What ``parts/stepped.html`` needs: the cube where it stands.

    ``said``: where that is; ``sentence``: what is told of it; ``steering``: None where nothing
    is to be stepped.
    """

    drawn: CrossDrawn
    net: Net
    said: str
    sentence: SafeString
    steering: Steering | None


@dataclass(frozen=True, slots=True)
class Stepper:
    """What ``parts/stepper.html`` needs.

    ``turned``: the plan with the rotation first that explains it, which then stands alone; how it
    was read is folded, ``as_read_open`` where the cube stands there.
    """

    stairs: Staircase
    stepped: Stepped
    own: Way
    ledger: tuple[LedgerLine, ...]
    lost: LostShown | None
    more_lost: tuple[LostShown, ...]
    more_lost_said: str
    more_lost_open: bool
    nearest: tuple[Way, ...]
    further: tuple[Way, ...]
    further_said: str
    further_open: bool
    dotted: str
    shortest_count: int
    turned: Way | None
    as_read_open: bool


def make_stepper(
    scramble: str,
    report: PlanReport,
    *,
    name: str,
    way: int | None = 0,
    step: int = 0,
    again_href: str = "",
    forgotten: Forgotten | None = None,
) -> Stepper:
    """Lay out a plan, its shortest solutions and what was enough instead of its lost moves.

    ``way`` 0 is the plan, then come the shortest solutions, then the others, last the plan with a
    ``forgotten`` rotation first; None: where a reader begins. ``step`` counts tokens. Numbers
    that do not exist are brought to the nearest that does: they come from an address that anybody
    can type. Without a plan the cube stands on the nearest way.
    """
    solutions = _as_held(scramble, report)
    told = lost_moves(scramble, report)
    last = len(solutions) + len(told)
    turned = way_turned_first(scramble, forgotten, number=last + 1, here=-1)
    if way is None:
        way = last + 1 if turned else 0
    way = min(max(way, 0 if report.ledger or not solutions else 1), last + bool(turned))
    texts = [report.canonical, *(one.text for one in solutions), *(lost.way for lost in told)]
    if turned:
        texts.append(turned.text)
    lengths = [len(report.ledger), *(len(text.split()) for text in texts[1:])]
    step = min(max(step, 0), lengths[way])
    here = [step if number == way else -1 for number in range(len(texts))]
    own = make_way(
        scramble,
        report.canonical,
        report.ledger,
        number=0,
        name=name,
        named="",
        colour=report.colour,
        start=report.distance_start,
        here=here[0],
    )
    instead = ways_instead(scramble, told, len(solutions), here)
    if way > last:
        turned = way_turned_first(scramble, forgotten, number=way, here=step)
    shortest = tuple(
        _shortest(scramble, report, one, number, len(solutions), here[number], told)
        for number, one in enumerate(solutions, start=1)
    )
    stands = turned if turned and way > last else (own, *shortest, *(o.way for o in instead))[way]
    before, _moves, colour = line_of(scramble, report, way, forgotten)
    ledger = _ledger(report, own, here[0])
    return Stepper(
        stairs=staircase(
            report.ledger,
            report.distance_start,
            shortest=report.best if solutions else None,
            name=name,
            href="?step=",
            anchor="#cube",
            here=here[0],
        ),
        stepped=Stepped(
            drawn=draw_cross(
                scramble,
                stands.text,
                colour=colour,
                step=step,
                after=before,
                name="cube",
                moving=True,
            ),
            net=draw_net(
                net_steps(scramble, f"{before} {stands.text}")[len(before.split()) + step]
            ),
            said=stands.stops[step].said,
            sentence=_sentence(stands, ledger, step),
            steering=Steering(
                way=way,
                step=step,
                back=stands.stops[step - 1].href if step else "",
                on=stands.stops[step + 1].href if step < lengths[way] else "",
                again=again_href,
            ),
        ),
        own=own,
        ledger=ledger,
        lost=instead[0] if instead else None,
        more_lost=instead[1:],
        more_lost_said=_more_lost(instead[1:]),
        more_lost_open=len(solutions) + 1 < way <= last,
        nearest=shortest[:NEAREST],
        further=shortest[NEAREST:],
        further_said=say_further(len(solutions), report.shortest_count),
        further_open=NEAREST < way <= len(solutions),
        dotted=solutions[0].text if solutions else "",
        shortest_count=report.shortest_count,
        turned=turned,
        as_read_open=way <= last,
    )


def line_of(
    scramble: str, report: PlanReport, way: int, forgotten: Forgotten | None = None
) -> tuple[str, str, str]:
    """The moves before a way, its moves and its colour, by the number it has on the page.

    A number that does not exist is the plan's.
    """
    solutions = _as_held(scramble, report)
    told = lost_moves(scramble, report)
    if 0 < way <= len(solutions):
        return "", solutions[way - 1].text, solutions[way - 1].colour
    if len(solutions) < way <= len(solutions) + len(told):
        lost = told[way - 1 - len(solutions)]
        return lost.before, lost.way, lost.colour
    if forgotten is not None and way == len(solutions) + len(told) + 1:
        return "", forgotten.plan, forgotten.colour
    return "", report.canonical, report.colour


def _shortest(
    scramble: str,
    report: PlanReport,
    one: ShortestSolution,
    number: int,
    listed: int,
    here: int,
    told: Sequence[LostMoveTold],
) -> Way:
    """A shortest solution as a way. What an earlier loss tells of it is not told again."""
    named = say_shortest(number)
    again = [
        place
        for place, lost in enumerate(told, start=1)
        if lost.colour == one.colour
        and is_same_way(scramble, f"{lost.before} {lost.way}", one.text)
    ]
    return make_way(
        scramble,
        one.text,
        ledger_of(one.text, report.best),
        number=number,
        name=_("Shortest way {number} of {all}").format(number=number, all=listed),
        named=f"{named}.",
        colour=one.colour,
        start=report.best,
        here=here,
        story=story(scramble, one),
        own=report.solved
        and report.excess == 0
        and is_same_way(scramble, report.canonical, one.text),
        told_at=again[0] if again else 0,
        opened=number == 1 and not report.ledger,
    )


def _ledger(report: PlanReport, own: Way, here: int) -> tuple[LedgerLine, ...]:
    return tuple(
        LedgerLine(
            step=number,
            token=row.token,
            spoken=own.stops[number].spoken,
            href=f"?step={number}#cube",
            here=number == here,
            distance=row.distance,
            loss=row.loss,
            said=say_step(row),
            free=row.moves == 0,
            announce=own.stops[number].said,
        )
        for number, row in enumerate(report.ledger, start=1)
    )


def _sentence(way: Way, ledger: Sequence[LedgerLine], step: int) -> SafeString:
    """What is told of where the cube stands: of the plan what its ledger says."""
    if way.number == 0:
        return SafeString(ledger[step - 1].said if step else "")
    return way.sentence(step)


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


def say_further(listed: int, there_are: int) -> str:
    """How many shortest solutions are behind one tap, and of how many where not all are listed."""
    more = listed - NEAREST
    if there_are == listed:
        return ngettext("One more shortest way", "{number} more shortest ways", more).format(
            number=more
        )
    return _("{number} more shortest ways. There are {all} in all.").format(
        number=more, all=there_are
    )


def _more_lost(lost: Sequence[LostShown]) -> str:
    """How many written moves lost something beside the first; a move may lose two."""
    return ngettext(
        "One more move that lost something", "{number} more moves that lost something", len(lost)
    ).format(number=len(lost))
