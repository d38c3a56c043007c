"""A club of a version without series keeps its days exactly at its upgrade, there and back.

The rule of that version is written out here once more, from its own words (``daily_closes`` at
or before ``daily_opens`` means the next day; weekdays with Monday = 0): our own, no source.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import psycopg
import pytest

from clubsite.deploy import programs
from tests.stack.serving import manage
from tests.stack.site import Site
from tests.stack.test_periods_of_old_clubs import Execute, of_file

BEFORE, WITH = "0033", "0038"
"""The last migration of that version, and one that has series; beyond, the way is the same."""
MONDAY = datetime(2026, 11, 2, tzinfo=UTC)
DAY = timedelta(days=1)
CLUBS = {
    1: ("[0, 1, 2, 3, 4, 5, 6]", "00:00:00", "00:00:00", 5),
    2: ("[1, 3]", "18:00:00", "02:30:00", 3),
    3: ("[]", "06:00:00", "20:00:00", 12),
}
"""Weekdays, opening, closing and scrambles of three clubs of old."""


def fill(execute: Execute) -> None:
    def insert(table: str, **values: Any) -> None:
        marks = ", ".join("?" for _ in values)
        words = f"INSERT INTO training_{table} ({', '.join(values)}) VALUES ({marks})"
        execute(words, tuple(values.values()))

    rules = {"colours": '["yellow"]', "spelling": "club"}
    rules |= {"answers_to": "own_plan", "table_to": "own_plan"}
    for number, (weekdays, opens, closes, scrambles) in CLUBS.items():
        insert(
            "club",
            id=number,
            name=f"Old {number}",
            slug=f"old-{number}",
            language="en",
            **{"created_at": MONDAY, "time_zone": "Europe/Oslo", **rules},
            daily_weekdays=weekdays,
            daily_opens=opens,
            daily_closes=closes,
            daily_scrambles=scrambles,
            technique_target=70,
        )
        for day in range(2):
            at = MONDAY + day * DAY
            for kind in ("daily", "homework"):
                insert(
                    "scrambleset",
                    **{"club_id": number, "kind": kind, "drawn": "as_drawn", **rules},
                    draw_method="x",
                    seed="",
                    scrambles_wanted=0,
                    day=at.date(),
                    opens_at=at,
                    closes_at=at + DAY,
                    issued_at=at,
                    taken_out=False,
                    spare="",
                )


SERIES = "SELECT club_id, weekdays, opens, closes, scrambles, days_later FROM training_series"
SETS = """
SELECT s.club_id, s.kind, s.day, r.club_id FROM training_scrambleset s
LEFT JOIN training_series r ON r.id = s.series_id"""
OLD = "SELECT id, daily_weekdays, daily_opens, daily_closes, daily_scrambles FROM training_club"


def plain(rows: Any) -> list[tuple[Any, ...]]:
    """Rows as a file and a server give them, in one form."""
    return sorted(
        tuple(str(one).replace("'", '"') if not isinstance(one, int) else one for one in row)
        for row in rows
    )


def judge(execute: Execute) -> None:
    expected = [(number, *club, 0) for number, club in CLUBS.items()]
    assert plain(execute(SERIES, ())) == plain(expected)
    sets = execute(SETS, ())
    assert len(sets) == 4 * len(CLUBS)
    for club, kind, _day, of_series in sets:
        assert of_series == (club if kind == "daily" else None)


def judge_back(execute: Execute) -> None:
    assert plain(execute(OLD, ())) == plain((number, *club) for number, club in CLUBS.items())
    kinds = execute("SELECT kind, COUNT(*) FROM training_scrambleset GROUP BY kind", ())
    assert sorted(kinds) == [("daily", 6), ("homework", 6)]


@pytest.fixture
def data(folder: Path) -> Path:
    """A data folder without a database: made up to the old shape, not brought back to it."""
    data = folder / "club"
    data.mkdir()
    return data


def migrate(data: Path, *to: str) -> None:
    done = manage("migrate", "training", *to, data=data)
    assert done.returncode == 0, done.stderr


def test_in_a_file_there_and_back(data: Path) -> None:
    migrate(data, BEFORE)
    with of_file(data / "club.sqlite3") as execute:
        fill(execute)
    migrate(data, WITH)
    with of_file(data / "club.sqlite3") as execute:
        judge(execute)
    migrate(data, BEFORE)
    with of_file(data / "club.sqlite3") as execute:
        judge_back(execute)
    migrate(data)
    with of_file(data / "club.sqlite3") as execute:
        judge(execute)


def test_on_a_server_there_and_back(site: Site, empty_url: str) -> None:
    site.run(programs.manage("migrate", "training", BEFORE))
    with psycopg.connect(empty_url, autocommit=True) as database:

        def execute(words: str, values: tuple[Any, ...]) -> Any:
            cursor = database.execute(words.replace("?", "%s"), values)
            return cursor.fetchall() if cursor.description else []

        fill(execute)
        site.run(programs.manage("migrate", "training", WITH))
        judge(execute)
        site.run(programs.manage("migrate", "training", BEFORE))
        judge_back(execute)
        site.run(programs.manage("migrate"))
        judge(execute)
