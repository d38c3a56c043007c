"""The worked cross of the first page is what the solver says today."""

from __future__ import annotations

import json

from training.management.commands.make_worked_cross import fresh
from training.web.pages.first.worked_cross import FILE, worked_cross


def test_the_committed_file_equals_a_fresh_computation() -> None:
    committed = json.loads(FILE.read_text(encoding="utf-8"))
    assert committed == json.loads(json.dumps(fresh())), "Run `manage.py make_worked_cross`."


def test_its_distances_are_those_worked_out_by_a_slow_program() -> None:
    # The first worked example of the project's analysis: distances 6 6 5 5 4 3 2 1 0.
    report = worked_cross().report
    assert (report.distance_start, *(row.distance for row in report.ledger)) == (
        6, 6, 5, 5, 4, 3, 2, 1, 0,
    )  # fmt: skip
    assert (report.moves, report.best, report.excess) == (8, 6, 2)
