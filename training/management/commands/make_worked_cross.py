"""Writes the worked cross of the first page, so that showing it needs no solver."""

from __future__ import annotations

import json
from typing import Any

from django.core.management.base import BaseCommand

from solverworker.review import check_plan
from training.web.pages.first.worked_cross import FILE

SCRAMBLE = "F2 B U2 D' U2 L R D L' F' B L U D"
PLAN = "D2 B' D F L U' F2 B"
COLOURS = ("yellow",)


def fresh() -> dict[str, Any]:
    """The whole content of the file, computed now."""
    report = check_plan(SCRAMBLE, PLAN, colours=COLOURS)
    return {
        "scramble": SCRAMBLE,
        "plan": PLAN,
        "colours": list(COLOURS),
        "report": report.to_dict(),
    }


class Command(BaseCommand):
    help = "Computes the worked cross of the first page and writes it to its file."

    def handle(self, *args: Any, **options: Any) -> None:
        FILE.write_text(json.dumps(fresh(), indent=1) + "\n", encoding="utf-8")
        self.stdout.write(f"Written: {FILE.name}")
