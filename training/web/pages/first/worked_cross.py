"""The worked cross of the first page: a committed file, so that no solver is needed to show it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from solverworker.report import PlanReport

FILE = Path(__file__).parent / "worked_cross.json"


@dataclass(frozen=True, slots=True)
class WorkedCross:
    """A scramble, the plan of somebody who looked twice, and what it was worth."""

    scramble: str
    plan: str
    colours: tuple[str, ...]
    report: PlanReport


@cache
def worked_cross() -> WorkedCross:
    """Read the committed file. ``manage.py make_worked_cross`` writes it."""
    data = json.loads(FILE.read_text(encoding="utf-8"))
    return WorkedCross(
        scramble=data["scramble"],
        plan=data["plan"],
        colours=tuple(data["colours"]),
        report=PlanReport.from_dict(data["report"]),
    )
