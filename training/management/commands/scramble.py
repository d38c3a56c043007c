"""``manage.py scramble``: scrambles of random states."""

from __future__ import annotations

import json
from typing import Any

from django.core.management.base import CommandError, CommandParser

from solverworker.search.scramble import draw_scrambles
from training.management.lines import SolverCommand

MOST = 10_000
"""Most scrambles drawn at once."""


class Command(SolverCommand):
    help = "Draw scrambles: random states of the whole cube, white on top, green in front."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("-n", "--count", type=int, default=1, help="how many (1)")
        parser.add_argument("--seed", help="draw the scrambles that this seed gave before")
        parser.add_argument("--json", action="store_true", help="answer in JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        count = options["count"]
        if not 1 <= count <= MOST:
            raise CommandError(f"Ask for 1 to {MOST:,} scrambles, not {count}.")
        drawn = draw_scrambles(count, options["seed"])
        if options["json"]:
            answer = {"method": drawn.method, "seed": drawn.seed, "scrambles": drawn.texts}
            self.stdout.write(json.dumps(answer))
        else:
            self.stdout.write("\n".join(drawn.texts))
