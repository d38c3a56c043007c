"""The demo club has something true to show on each page of a coach's week, made by the services."""

from __future__ import annotations

from pathlib import Path

from clubsite.deploy.backups import write_copy
from tests.stack.site import Site


def test_what_a_coach_finds_on_the_day(folder: Path, demo_file: Path) -> None:
    write_copy(demo_file, folder / "club.sqlite3")
    site = Site(folder, database_url="", broker_url="memory://")
    try:
        found = site.drive("tell-of-demo")
    finally:
        site.close()
    assert found["improved"], "somebody learnt an idea in the last weeks"
    assert found["quiet"] == ["Ossian"]
    assert found["without_consent"] == 1
    # One in each state: to come, open, being checked, asked about, confirmed, posted.
    assert set(found["stages"]) == {
        "announced",
        "open",
        "checking",
        "questions",
        "confirmed",
        "posted",
    }
    assert found["questions"] >= 1
    assert found["corrections"] >= 4
    assert found["groups"] == 3
    assert found["homework"] >= 2
    assert found["nights"] >= 1
