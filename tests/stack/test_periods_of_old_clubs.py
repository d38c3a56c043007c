"""A club of a version without counting periods gets the right ones at its upgrade.

The rule is product's own, no source: from when an account was opened (for a child from the
consent) until it was archived, which was not kept: until the set of the last plan closed.
"""

from __future__ import annotations

import sqlite3
import uuid
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import psycopg
import pytest

from clubsite.deploy import programs
from tests.stack.serving import manage
from tests.stack.site import Site

Execute = Callable[[str, tuple[Any, ...]], Any]

BEFORE = "0022"
MONDAY = datetime(2026, 11, 2, tzinfo=UTC)
DAY = timedelta(days=1)
JOINED = MONDAY - 20 * DAY
PEOPLE: dict[str, dict[str, Any]] = {
    "open": {},
    "never signed in": {"last_login": None},
    "plans alone": {"last_login": None},
    "child": {"under_18": True, "consent_noted_at": MONDAY + 2 * DAY},
    "waits for consent": {"under_18": True, "standing": "consent"},
    "consent withdrawn": {
        "under_18": True,
        "standing": "consent",
        "consent_noted_at": MONDAY - 9 * DAY,
        "consent_withdrawn_at": MONDAY + 5 * DAY,
    },
    "waits": {"standing": "waiting"},
    "coach": {"role": "coach", "competes": False},
    "archived": {"standing": "archived"},
    "archived without a plan": {"standing": "archived"},
    "": {"standing": "former", "left_at": MONDAY + 7 * DAY},
}
PLANNED = {"open": 0, "plans alone": 1, "child": 2, "archived": 3, "": 1}
"""Who planned in the set of which day, counted from Monday."""

EXPECTED = {
    "open": (JOINED, None, False),
    "plans alone": (JOINED, None, False),
    "child": (MONDAY + 2 * DAY, None, False),
    "consent withdrawn": (MONDAY - 9 * DAY, MONDAY + 5 * DAY, False),
    "archived": (JOINED, MONDAY + 4 * DAY, True),
    "": (JOINED, MONDAY + 7 * DAY, False),
}


def fill(execute: Execute) -> None:
    """A club as it was, a member for each way to stand."""

    def insert(table: str, **values: Any) -> None:
        marks = ", ".join("?" for _ in values)
        words = f"INSERT INTO training_{table} ({', '.join(values)}) VALUES ({marks})"
        execute(words, tuple(values.values()))

    rules = {"colours": '["yellow"]', "spelling": "club"}
    rules |= {"answers_to": "own_plan", "table_to": "own_plan"}
    insert(
        "club",
        **{"id": 1, "name": "Old", "slug": "old", "language": "en", "created_at": JOINED, **rules},
        time_zone="UTC",
        daily_weekdays="[0, 1, 2, 3, 4, 5, 6]",
        daily_opens="00:00:00",
        daily_closes="00:00:00",
        daily_scrambles=1,
        technique_target=70,
    )
    for number in range(6):
        opens = MONDAY + number * DAY
        insert(
            "scrambleset",
            **{"id": number + 1, "club_id": 1, "kind": "daily", "drawn": "as_drawn", **rules},
            draw_method="x",
            seed="",
            scrambles_wanted=0,
            day=opens.date(),
            opens_at=opens,
            closes_at=opens + DAY,
            issued_at=opens,
        )
        insert("scramble", id=number + 1, scramble_set_id=number + 1, number=1, text="R D")
    for number, (name, fields) in enumerate(PEOPLE.items(), start=1):
        fields = {"last_login": JOINED, **fields}
        insert(
            "person",
            id=number,
            sign_in_name=f"m{number}",
            password="!",
            is_active=True,
            must_choose_phrase=False,
            language="",
            created_at=JOINED,
            last_login=fields.pop("last_login"),
        )
        fields = {"role": "member", "standing": "active", "competes": True, **fields}
        insert(
            "membership",
            id=number,
            club_id=1,
            person_id=number,
            display_name=name,
            **{"joined_at": JOINED, "under_18": False, "consent_note": "", **fields},
        )
        if name in PLANNED:
            the_set = PLANNED[name] + 1
            at = MONDAY + PLANNED[name] * DAY + timedelta(hours=3)
            insert(
                "plan",
                id=number,
                scramble_id=the_set,
                membership_id=number,
                kind="moves",
                written="",
                canonical="",
                key=str(uuid.uuid4()),
                handed_in_at=at,
                status="checked",
                attempts=1,
                rung_at=at,
                failure_reason="",
                rules_version=1,
                withdrawn_reason="",
            )
            insert(
                "setsummary",
                membership_id=number,
                scramble_set_id=the_set,
                plans=1,
                solved=1,
                exact=1,
                lost=0,
                points=0,
                crosses="[]",
                ends_on_bottom=0,
                turns_cube_late=0,
                back_turns=0,
                half_turns=0,
            )


PERIODS = """
SELECT m.display_name, p.begins_at, p.ends_at, p.left_at, p.estimated
FROM training_countingperiod p JOIN training_membership m ON m.id = p.membership_id"""
OUTSIDE = """
SELECT m.display_name
FROM training_setsummary s JOIN training_membership m ON m.id = s.membership_id
WHERE NOT s.counts"""


def instant(value: Any) -> datetime | None:
    if isinstance(value, str):
        return datetime.fromisoformat(value).replace(tzinfo=UTC)
    return value


def judge(execute: Execute) -> None:
    """All periods as they should be, and what enters totals."""
    found = {
        name: (instant(begins), instant(ends), bool(estimated))
        for name, begins, ends, left, estimated in execute(PERIODS, ())
        if instant(ends) == instant(left)
    }
    assert found == EXPECTED
    assert execute(OUTSIDE, ()) == []


@contextmanager
def of_file(path: Path) -> Iterator[Execute]:
    def plain(value: Any) -> Any:
        return str(value).partition("+")[0] if isinstance(value, datetime) else value

    with closing(sqlite3.connect(path, isolation_level=None)) as database:
        yield lambda words, values: database.execute(
            words, tuple(str(plain(v)) if hasattr(v, "year") else v for v in values)
        ).fetchall()


@pytest.fixture
def data(folder: Path) -> Path:
    """A data folder without a database: made up to the old shape, not brought back to it."""
    data = folder / "club"
    data.mkdir()
    return data


def test_in_a_file(data: Path) -> None:
    made = manage("migrate", "training", BEFORE, data=data)
    assert made.returncode == 0, made.stderr
    with of_file(data / "club.sqlite3") as execute:
        fill(execute)
    done = manage("migrate", data=data)
    assert done.returncode == 0, done.stderr
    with of_file(data / "club.sqlite3") as execute:
        judge(execute)


def test_on_a_server(site: Site, empty_url: str) -> None:
    site.run(programs.manage("migrate", "training", BEFORE))
    with psycopg.connect(empty_url, autocommit=True) as database:

        def execute(words: str, values: tuple[Any, ...]) -> Any:
            cursor = database.execute(words.replace("?", "%s"), values)
            return cursor.fetchall() if cursor.description else []

        fill(execute)
        site.run(programs.manage("migrate"))
        judge(execute)
        with pytest.raises(psycopg.errors.ExclusionViolation):
            execute(
                "INSERT INTO training_countingperiod (membership_id, begins_at, ends_at, estimated)"
                " VALUES (1, ?, ?, false)",
                (JOINED - DAY, JOINED + DAY),
            )
