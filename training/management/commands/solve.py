"""``manage.py solve``: every shortest cross of a scramble."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from django.core.management.base import CommandError, CommandParser

from solverworker.review import solve
from training.management.lines import SolverCommand, colours_of, text_of


class Command(SolverCommand):
    help = "Show every shortest cross of a scramble, for each colour."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("scramble", nargs="?", help="the scramble, in quotes")
        super().add_arguments(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        def answer(request: Mapping[str, Any]) -> dict[str, Any]:
            return answer_solve(request, options["colours"])

        if options["batch"]:
            self.batch(answer)
            return
        if options["scramble"] is None:
            raise CommandError('Give a scramble in quotes, such as solve "R U F", or --batch.')
        result = self.one(answer, options, as_json=options["json"])
        if options["json"]:
            self.stdout.write(json.dumps(result))
        else:
            self.stdout.write(in_words(result))


def answer_solve(request: Mapping[str, Any], default: list[str] | None) -> dict[str, Any]:
    """Answer ``{"scramble": …, "colours": […]}``."""
    scramble = text_of(request, "scramble")
    found = solve(scramble, colours=colours_of(request, default))
    return {
        "scramble": scramble,
        "colours": {
            colour: {
                "best": each.best,
                "count": len(each.solutions),
                "solutions": each.solutions,
            }
            for colour, each in found.items()
        },
    }


def in_words(result: Mapping[str, Any]) -> str:
    """Return the answer for people: counts and best first, then the solutions."""
    colours: Mapping[str, Mapping[str, Any]] = result["colours"]
    lines = [f"Scramble  {result['scramble']}", ""]
    for colour, each in colours.items():
        ways = "1 way" if each["count"] == 1 else f"{each['count']} ways"
        lines.append(f"{colour:<8}  best {each['best']}, {ways}")
    for colour, each in colours.items():
        lines += ["", f"{colour}, in {each['best']}:"]
        lines += [f"  {text or '(nothing to do)'}" for text in each["solutions"]]
    return "\n".join(lines)
