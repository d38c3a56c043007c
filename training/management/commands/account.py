"""``manage.py account``: the whole account of members, from plans kept anywhere.

What it reads and answers says its help, below as ``LINES``.
"""

from __future__ import annotations

import json
import sys
from argparse import ArgumentTypeError, RawDescriptionHelpFormatter
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError, CommandParser

from solverworker.causes import IDEAS
from solverworker.cube.colours import UnknownColourError
from solverworker.cube.notation import NotationError
from solverworker.cube.solving import solved_crosses
from solverworker.report import COLOURS
from solverworker.review import check_plan, plan_slips
from training import looks
from training.account import OTHER_SCRAMBLE, Account, Crossed, Missing, account_of, crossed
from training.headings import name_of
from training.looks import Tallies
from training.management.lines import (
    UNREADABLE_STATUS,
    LineError,
    SolverCommand,
    colours_of,
    read_line,
    text_of,
)
from training.management.plural import counted
from training.rules import Spelling
from training.statistics import Tally
from training.yardsticks import Flag, Reading


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One line of the input. ``number``: its own; ``plan``, ``day``: None where there is none."""

    number: int
    member: str
    scramble: str
    plan: str | None
    colours: tuple[str, ...] | None
    day: date | None


LINES = """\
Each line is one cross of one member, as JSON:

  {"member": "a", "scramble": "R D", "plan": "D' R'", "colours": ["yellow"], "day": "2026-11-01"}

plan: null for no plan. colours: those allowed; without them all six are. day: may be left out;
ideas are then judged by all plans, else by the looks of the last two Mondays, each at eight weeks.

--json answers {"members": {"a": {...}}}, with for each member:

  plans, solved     how many crosses, and how many plans end solved
  points            by heading, as fractions in text; their sum is what the table charges
  unsolved          plans that do not solve, by kind of slip
  first             the heading to begin with, or null: no single thing yet
  edge_by_edge      whether most solved plans set every edge straight onto its own centre
  reach             at_least[k-1]: the share of plans whose last k moves are a shortest way, null
                    below five plans; reach: the most k with one half or more
  exact_by_length   [exact, all] by best length, 3 to 8
  techniques        called, answered, below_target (a probability) and flag, by idea
"""


class Command(SolverCommand):
    help = "Say what each member's moves were lost to, all of it, from plans in JSON lines."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = LINES
        parser.add_argument("file", nargs="?", type=Path, help="JSON lines; without it, input")
        parser.add_argument("--json", action="store_true", help="answer in JSON")
        parser.add_argument(
            "--target", type=_share, default=0.7, help="the rate wanted of an idea, 0 to 1 (0.7)"
        )
        parser.add_argument(
            "--until", type=_day, help="leave out later days (default: the last day there is)"
        )
        parser.add_argument(
            "--spelling",
            choices=[each.value for each in Spelling],
            default=Spelling.CLUB.value,
            help="how plans are written (club)",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        lines = self._lines(options["file"])
        until = options["until"]
        if until is not None:
            lines = [line for line in lines if line.day is None or line.day <= until]
        found = accounts(
            lines,
            target=options["target"],
            until=until,
            strict=options["spelling"] == Spelling.STRICT,
        )
        if options["json"]:
            self.stdout.write(
                json.dumps({"members": {name: one.as_json() for name, one in found.items()}})
            )
            return
        for name, one in found.items():
            self.stdout.write("\n".join(one.in_words(name)))

    def _lines(self, file: Path | None) -> list[PlanLine]:
        try:
            source: Iterable[bytes | str] = (
                file.read_bytes().splitlines() if file else getattr(sys.stdin, "buffer", sys.stdin)
            )
            numbered = list(enumerate(source, start=1))
        except OSError as error:
            raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
        found = []
        for number, line in numbered:
            if not line.strip():
                continue
            with _line_number(number):
                found.append(_read(line, number))
        return found


@dataclass(frozen=True, slots=True)
class Told:
    """A member's account with what the last look says of each idea."""

    account: Account
    readings: Mapping[str, Reading]
    flags: Mapping[str, Flag]

    @property
    def first(self) -> str | None:
        """The heading that is named first."""
        return self.account.first(self.flags)

    def as_json(self) -> dict[str, Any]:
        """The answer for programs."""
        one = self.account
        return {
            "plans": one.plans,
            "solved": one.solved,
            "points": {code: str(points) for code, points in one.points.items()},
            "unsolved": dict(one.unsolved),
            "first": self.first,
            "edge_by_edge": one.edge_by_edge,
            "reach": {
                "at_least": list(one.reach.at_least),
                "reach": one.reach.reach,
                "solved": one.reach.solved,
                "exact": one.reach.exact,
            },
            "exact_by_length": {
                str(best): [tally.answered, tally.called] for best, tally in one.by_length.items()
            },
            "techniques": {
                code: {
                    "called": reading.tally.called,
                    "answered": reading.tally.answered,
                    "below_target": round(reading.below_target, 6),
                    "flag": self.flags[code].value,
                }
                for code, reading in self.readings.items()
            },
        }

    def in_words(self, member: str) -> list[str]:
        """The answer for people."""
        one, first = self.account, self.first
        named = name_of(first) if first else "no single thing yet"
        lines = [
            f"{member}: {counted(one.plans, 'plan')}, {one.solved} solved, "
            f"{_decimal(one.total)} points. First: {named}."
        ]
        for code, points in one.points.items():
            lines.append(f"  {name_of(code):<32}{_decimal(points):>7}")
            if code == "unsolved":
                lines += [
                    f"    {name_of(kind):<30}{counted(count, 'plan'):>9}"
                    for kind, count in one.unsolved.items()
                ]
        return lines


def accounts(
    lines: Iterable[PlanLine], *, target: float, until: date | None, strict: bool
) -> dict[str, Told]:
    """The account of each member, in the order in which they come. Raises CommandError."""
    by_member: dict[str, list[tuple[PlanLine, Crossed]]] = defaultdict(list)
    found = list(lines)
    others = _scrambles_of_days(found)
    for line in found:
        with _line_number(line.number):
            by_member[line.member].append((line, _crossed(line, others.get(line.day, ()), strict)))
    days = [line.day for line in found if line.day is not None]
    look = None
    if days:
        # The week of the last day is taken as over: its look is that of the next Monday.
        look = looks.last_look((until or max(days)) + timedelta(weeks=1))
    told = {member: account_of(one for _, one in crosses) for member, crosses in by_member.items()}
    targets = dict.fromkeys(IDEAS, target)
    all_of_it = looks.read_group([one.tallies for one in told.values()], targets)
    if look is None:
        last = before = all_of_it
    else:
        last, before = (
            looks.read_group([_seen(one, each) for one in by_member.values()], targets)
            for each in (look, look.before)
        )
    return {
        member: Told(account, now, looks.flags(new, old))
        for (member, account), now, new, old in zip(
            told.items(), all_of_it, last, before, strict=True
        )
    }


def _seen(crosses: Iterable[tuple[PlanLine, Crossed]], look: looks.Look) -> Tallies:
    """Tallies of what a look sees; what is of no day is always seen."""
    seen = [one for line, one in crosses if line.day is None or look.sees(line.day)]
    return {
        code: Tally(
            sum(code in one.answered for one in seen), sum(code in one.called for one in seen)
        )
        for code in IDEAS
    }


def _scrambles_of_days(lines: Iterable[PlanLine]) -> dict[date | None, tuple[str, ...]]:
    """The scrambles of each day: what one may have been mistaken for another in."""
    found: dict[date | None, dict[str, None]] = defaultdict(dict)
    for line in lines:
        if line.day is not None:
            found[line.day][line.scramble] = None
    return {day: tuple(scrambles) for day, scrambles in found.items()}


def _crossed(line: PlanLine, others: Iterable[str], strict: bool) -> Crossed:
    colours = list(line.colours) if line.colours else None
    report = check_plan(line.scramble, line.plan or "", colours=colours, strict=strict, shown=0)
    if line.plan is None:
        return Crossed(best=report.best, missing=Missing.NO_PLAN)
    if report.solved:
        return crossed(report)
    slips = plan_slips(line.scramble, line.plan, colours=colours, strict=strict)
    allowed = set(line.colours or COLOURS)
    another = any(
        allowed.intersection(solved_crosses(other, line.plan))
        for other in others
        if other != line.scramble
    )
    return Crossed(best=report.best, slips=(*slips, *((OTHER_SCRAMBLE,) if another else ())))


def _read(line: bytes | str, number: int) -> PlanLine:
    request = read_line(line)
    member, plan, day = request.get("member"), request.get("plan"), request.get("day")
    if not isinstance(member, str) or not member:
        raise LineError('"member" is missing or is not text. Write it between quotes.')
    if plan is not None:
        plan = text_of(request, "plan")
    elif "plan" not in request:
        raise LineError('"plan" is missing. Write null where there was no plan.')
    colours = colours_of(request, None)
    try:
        on = date.fromisoformat(day) if day is not None else None
    except (TypeError, ValueError) as error:
        raise LineError('"day" is not a date. Write it as 2026-11-01, or leave it out.') from error
    return PlanLine(
        number=number,
        member=member,
        scramble=text_of(request, "scramble"),
        plan=plan,
        colours=tuple(colours) if colours else None,
        day=on,
    )


@contextmanager
def _line_number(number: int) -> Iterator[None]:
    """Whatever is wrong in a line ends the command, with the line's number."""
    try:
        yield
    except (NotationError, LineError, UnknownColourError) as error:
        said = str(getattr(error, "message", error))
        if isinstance(error, NotationError):
            said = f"The {error.where} cannot be read. {said}"
        raise CommandError(f"Line {number}: {said}", returncode=UNREADABLE_STATUS) from error


def _decimal(points: Fraction) -> str:
    return f"{float(points):.1f}".removesuffix(".0")


def _share(text: str) -> float:
    value = float(text)
    if not 0 < value < 1:
        raise ArgumentTypeError("write a rate between 0 and 1, such as 0.7")
    return value


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise ArgumentTypeError("write a date as 2026-11-01") from error
