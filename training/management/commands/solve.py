"""``manage.py solve``: every shortest cross of a scramble."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from django.core.management.base import CommandError, CommandParser

from solverworker.review import solve, with_pair
from training.management.lines import SolverCommand, colours_of, make_pair_table, text_of
from training.management.plural import counted


class Command(SolverCommand):
    help = "Show every shortest cross of a scramble, for each colour."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("scramble", nargs="?", help="the scramble, in quotes")
        super().add_arguments(parser)
        parser.add_argument(
            "--pair", action="store_true", help="add the best cross together with a first pair"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["pair"]:
            make_pair_table(self)

        def answer(request: Mapping[str, Any]) -> dict[str, Any]:
            return answer_solve(request, options["colours"], pair=options["pair"])

        if options["batch"]:
            self.batch(answer, options, "scramble")
            return
        if options["scramble"] is None:
            raise CommandError('Give a scramble in quotes, such as solve "R U F", or --batch.')
        result = self.one(answer, options, as_json=options["json"])
        if options["json"]:
            self.stdout.write(json.dumps(result))
        else:
            self.stdout.write(in_words(result))


def answer_solve(
    request: Mapping[str, Any], default: list[str] | None, *, pair: bool = False
) -> dict[str, Any]:
    """Answer ``{"scramble": …, "colours": […]}``; ``pair``: with the first pair too."""
    scramble = text_of(request, "scramble")
    colours = colours_of(request, default)
    answers: dict[str, dict[str, Any]] = {
        colour: {"best": each.best, "count": len(each.solutions), "solutions": each.solutions}
        for colour, each in solve(scramble, colours=colours).items()
    }
    if pair:
        for colour, best in with_pair(scramble, colours=colours).items():
            answers[colour] |= {
                "with_pair": best.best,
                "with_pair_slots": sorted(best.slots.values()),
                "slots": best.slots,
                "pair_count": best.count,
                "pair_solutions": best.solutions,
            }
    return {"scramble": scramble, "colours": answers}


def in_words(result: Mapping[str, Any]) -> str:
    """Return the answer for people: counts and best first, then the solutions."""
    colours: Mapping[str, Mapping[str, Any]] = result["colours"]
    lines = [f"Scramble  {result['scramble']}", ""]
    for colour, each in colours.items():
        lines.append(f"{colour:<8}  best {each['best']}, {counted(each['count'], 'way')}")
    for colour, each in colours.items():
        lines += ["", f"{colour}, in {each['best']}:"]
        lines += [f"  {text or '(nothing to do)'}" for text in each["solutions"]]
        if "with_pair" in each:
            lines += _pair_in_words(each)
    return "\n".join(lines)


def _pair_in_words(each: Mapping[str, Any]) -> list[str]:
    slots = ", ".join(f"{name} {moves}" for name, moves in each["slots"].items())
    lines = [f"with its first pair, in {each['with_pair']} ({slots}):"]
    lines += [f"  {text or '(nothing to do)'}" for text in each["pair_solutions"]]
    if each["pair_count"] > len(each["pair_solutions"]):
        lines.append(f"  … of {each['pair_count']} ways")
    return lines
