"""Several processes want the same rows on a real PostgreSQL: each row has one winner."""

from __future__ import annotations

import json
import subprocess
import sys
from collections import Counter
from typing import Any

from solverworker.review import check_plan
from tests.stack.site import ROOT, Site

PROCESSES = 4


def report_line() -> str:
    """What the solver says of the plan that everybody handed in."""
    return json.dumps(check_plan("R D", "D' R'", colours=("yellow",)).to_dict()) + "\n"


def at_once(site: Site, step: str, first_line: str = "", *, numbered: bool = False) -> list[Any]:
    """Run a step in four processes that wait for each other before they begin.

    ``numbered``: each is told which of them it is, from 0.
    """
    processes = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.stack.club", step, *([str(number)] if numbered else [])],
            env=site.environ,
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for number in range(PROCESSES)
    ]
    for process in processes:
        assert process.stdin is not None
        process.stdin.write(first_line)
        process.stdin.flush()
    for process in processes:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
    for process in processes:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
    return [json.loads(process.communicate(timeout=120)[0]) for process in processes]


def test_each_waiting_row_is_recorded_by_exactly_one_process(site: Site) -> None:
    site.drive("make")
    plans = site.drive("crowd", "60")["plans"]
    results = at_once(site, "compete", report_line())
    wins = Counter(plan for result in results for plan in result["won"])
    assert wins == dict.fromkeys(plans, 1)
    found = site.drive("state")
    assert found["plans"] == {"checked": len(plans)}
    assert found["verdicts"] == len(plans)


def test_sweeps_at_the_same_time_ring_once_for_each_row(site: Site) -> None:
    site.drive("make")
    plans = site.drive("crowd", "60")["plans"]
    site.drive("grow-old", "60")
    results = at_once(site, "sweep")
    assert sum(result["rung"] for result in results) == len(plans)

    # PostgreSQL turns a filter across a join into ``IN (SELECT …)``, which several can win.
    site.drive("grow-old", "60")
    statements = site.drive("written-sql", stdin=report_line())["sql"]
    updates = [sql for sql in statements if sql.startswith('UPDATE "training_plan"')]
    assert len(updates) >= 4
    assert [sql for sql in updates if "SELECT" in sql] == []


def test_coaches_who_change_different_settings_at_once_all_get_what_they_chose(
    site: Site,
) -> None:
    site.drive("make")
    chosen = {}
    for result in at_once(site, "set", numbered=True):
        chosen |= result
    assert len(chosen) == PROCESSES
    assert site.drive("settings") == chosen
