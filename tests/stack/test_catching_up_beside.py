"""``serve`` brings old verdicts up to date beside the open site, and tells how far it is."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

from clubsite.deploy.backups import write_copy
from solverworker.report import SOLVER_VERSION
from tests.stack.serving import Serving

PLANS = 1_100
"""So many are of older rules: several batches, and a number with a comma."""


def test_after_an_upgrade_of_the_rules(folder: Path, demo_file: Path) -> None:
    write_copy(demo_file, folder / "club.sqlite3")
    with closing(sqlite3.connect(folder / "club.sqlite3", isolation_level=None)) as database:
        done = database.execute(
            "UPDATE training_verdict SET rules_version = 1 WHERE plan_id IN "
            "(SELECT plan_id FROM training_verdict WHERE rules_version = ? LIMIT ?)",
            (SOLVER_VERSION, PLANS),
        )
        assert done.rowcount == PLANS
        database.execute("UPDATE training_setsummary SET lost = lost + 1")
    one = Serving(folder)
    try:
        one.wait_until_open()
        one.wait_for_line("The rules by which plans are judged have changed.")
        one.wait_for_line(f"By the newer rules now: plans {PLANS:,}, in sets", 240)
        one.wait_for_line("Verdicts and summaries are up to date.", 240)
    finally:
        one.close()
    with closing(sqlite3.connect(folder / "club.sqlite3")) as database:
        old = database.execute(
            "SELECT count(*) FROM training_verdict WHERE rules_version = 1"
        ).fetchone()
        marks = database.execute(
            "SELECT count(*) FROM training_heartbeat WHERE name = 'catching-up'"
        ).fetchone()
    assert (old, marks) == ((0,), (0,))
    assert json.loads((folder / "folder.json").read_text())["kind"] == "club"
