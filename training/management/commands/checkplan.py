"""``manage.py checkplan``: what one plan is worth."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from django.core.management.base import CommandError, CommandParser

from solverworker import words
from solverworker.report import SHOWN_SOLUTIONS, PlanReport
from solverworker.review import PairReport, check_pair, check_plan
from training.management.lines import (
    LineError,
    SolverCommand,
    colours_of,
    make_pair_table,
    text_of,
)
from training.management.plural import counted


class Command(SolverCommand):
    help = "Check a plan for the cross after a scramble."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("scramble", nargs="?", help="the scramble, in quotes")
        parser.add_argument("plan", nargs="?", help="the plan, in quotes")
        super().add_arguments(parser)
        parser.add_argument(
            "--strict", action="store_true", help="allow only the standard's own spelling"
        )

        parser.add_argument(
            "--pair-plan",
            metavar="MOVES",
            help='the moves of the first pair, written after the cross (in a batch: "pair_plan")',
        )

    def handle(self, *args: Any, **options: Any) -> None:
        strict, default = options["strict"], options["colours"]
        if options["pair_plan"] is not None:
            make_pair_table(self)

        def answer(request: Mapping[str, Any]) -> dict[str, Any]:
            report = report_of(request, default, strict=strict, shown=0)
            told = as_json(report)
            pair = pair_of(request, report, strict=strict)
            if pair is not None:
                told["pair"] = asdict(pair)
            return told

        if options["batch"]:
            self.batch(answer, options, "scramble", "plan", "pair_plan")
            return
        if options["scramble"] is None or options["plan"] is None:
            raise CommandError(
                'Give a scramble and a plan in quotes, such as checkplan "R D" "D\' R\'", '
                "or --batch."
            )
        if options["json"]:
            self.stdout.write(json.dumps(self.one(answer, options, as_json=True)))
            return

        def told(request: Mapping[str, Any]) -> dict[str, Any]:
            report = report_of(request, default, strict=strict)
            pair = pair_of(request, report, strict=strict)
            said = in_words(text_of(request, "scramble"), report)
            return {"words": said + (pair_in_words(pair) if pair else "")}

        result = self.one(told, options, as_json=False)
        self.stdout.write(result["words"])


def report_of(
    request: Mapping[str, Any],
    default: list[str] | None,
    *,
    strict: bool,
    shown: int = SHOWN_SOLUTIONS,
) -> PlanReport:
    """Check ``{"scramble": …, "plan": …, "colours": […]}``."""
    return check_plan(
        text_of(request, "scramble"),
        text_of(request, "plan"),
        colours=colours_of(request, default),
        strict=strict,
        shown=shown,
    )


def pair_of(request: Mapping[str, Any], report: PlanReport, *, strict: bool) -> PairReport | None:
    """Check the moves of the pair, if the request has any."""
    pair_plan = request.get("pair_plan")
    if pair_plan is None:
        return None
    if not isinstance(pair_plan, str):
        raise LineError('"pair_plan" is not text. Write it between quotes, or leave it out.')
    return check_pair(
        text_of(request, "scramble"),
        text_of(request, "plan"),
        pair_plan,
        colour=report.colour,
        strict=strict,
    )


def as_json(report: PlanReport) -> dict[str, Any]:
    """Return a report as the answer for programs."""
    answer = {
        "readable": True,
        "canonical": report.canonical,
        "solved": report.solved,
        "colour": report.colour,
        "solved_colours": report.solved_colours,
        "moves": report.moves,
        "best": report.best,
        "excess": report.excess,
        "colour_choice": report.colour_choice,
        "ledger": [row.to_dict() for row in report.ledger],
        "techniques": report.techniques.to_dict() if report.techniques else None,
        "handling": asdict(report.handling) if report.handling else None,
    }
    if not report.solved:
        answer["distance_left"] = report.distance_left
        answer["missing"] = report.missing
        answer["edges_home"] = report.edges_home
        answer["edges_relative"] = report.edges_relative
    return answer


def in_words(scramble: str, report: PlanReport) -> str:
    """Return a report for people."""
    lines = [f"Plan    {report.canonical or '(no moves)'}", *_verdict(report), ""]
    lines.append(f"  {'move':<6}{'left':>4}  lost")
    lines.append(f"  {'start':<6}{report.distance_start:>4}")
    for row in report.ledger:
        lost = str(row.loss) if row.loss else "-"
        lines.append(f"  {row.token:<6}{row.distance:>4}  {lost:>4}")
    lines += _remarks(scramble, report)
    lines += ["", f"Shortest, nearest to this plan first ({report.shortest_count} in all):"]
    lines += [f"  {each.text or '(nothing to do)'}" for each in report.shortest]
    return "\n".join(lines)


def pair_in_words(pair: PairReport) -> str:
    """Return what the moves of the pair are worth, for people."""
    end = f"in its slot: {pair.slot}" if pair.slot else "no pair stands in its slot"
    lost = f", {_moves(pair.excess)} over" if pair.excess else ""
    cross = pair.best_cross
    return (
        f"\n\nWith the pair: {_moves(pair.moves)}, {end}. Best is {pair.best}{lost}; "
        f"from where the cross ended, {pair.from_cross}.\n"
        f"The shortest cross that leaves the nearest pair ({cross.slot}, {_moves(cross.then)} "
        f"more): {cross.text or '(nothing to do)'}"
    )


def _verdict(report: PlanReport) -> list[str]:
    if not report.solved:
        home = f"{report.edges_home} of its 4 edges {'is' if report.edges_home == 1 else 'are'}"
        lines = [
            f"Not solved: the {report.colour} cross is {_moves(report.distance_left)} short. "
            f"This would finish it: {report.missing}",
            f"{home} in place.",
        ]
        if report.solved_colours:
            named = ", ".join(report.solved_colours)
            lines.append(f"Solved, but not allowed here: {named}.")
        return lines
    over = f"{_moves(report.excess)} over" if report.excess else "nothing lost"
    lines = [
        f"Solved: {report.colour} cross, {_moves(report.moves)}. Best is {report.best}: {over}."
    ]
    if report.colour_choice:
        lines.append(
            f"Of these, {_moves(report.colour_choice)} for the choice of colour: "
            "another allowed colour was nearer."
        )
    return lines


def _remarks(scramble: str, report: PlanReport) -> list[str]:
    """Return what there is to say of lost moves, slips and handling; moves in backticks."""
    said = [
        " ".join(filter(None, (loss.lost, loss.called, loss.instead)))
        for loss in words.losses(scramble, report)
    ]
    said += [words.hint_in_words(hint) for hint in report.hints]
    if report.handling and report.ledger:
        said += words.handling_in_words(report.handling, solved=report.solved)
    return ["", *said] if said else []


def _moves(count: int) -> str:
    return counted(count, "move")
