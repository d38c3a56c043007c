"""Clubs of earlier versions are what they were when they are brought up to today, and back.

On one way each on SQLite and on PostgreSQL (``tests.stack.old_clubs``); each subject is filled in
by the version before it came.
"""

from __future__ import annotations

import functools
import json
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from clubsite.deploy.backups import write_copy
from tests.stack.conftest import a_database
from tests.stack.old_clubs.days import CLUBS
from tests.stack.old_clubs.periods import DAY, JOINED, MONDAY
from tests.stack.older import OLDEST, database_at, file_at
from tests.stack.site import Site, short_folder

Found = dict[str, Any]
BOTH = pytest.mark.parametrize("server", ["sqlite", "postgresql"])


@pytest.fixture(scope="module")
def brought_up(request: pytest.FixtureRequest) -> Callable[[str], Found]:
    """What was found on the way, by the kind of server; gone once for each."""

    def way(folder: Path, address: str) -> Found:
        site = Site(folder, database_url=address, broker_url="memory://")
        try:
            said = site.run([sys.executable, "-m", "tests.stack.old_clubs.way"])
        finally:
            site.close()
        found: Found = json.loads(said.splitlines()[-1])
        return found

    @functools.cache
    def go(server: str) -> Found:
        with short_folder() as folder:
            if server == "sqlite":
                today = request.getfixturevalue("migrated_file")
                write_copy(file_at(OLDEST, today), folder / "club.sqlite3")
                return way(folder, "")
            server_of_ours = request.getfixturevalue("postgres")
            begins_as = database_at(OLDEST, request.getfixturevalue("migrated"))
            with a_database(server_of_ours, begins_as) as address:
                return way(folder, address)

    return go


@BOTH
def test_each_report_is_what_it_was_before_it_was_compact(
    server: str, brought_up: Callable[[str], Found]
) -> None:
    """There and back and there: nothing of a report is lost on the way."""
    found = brought_up(server)
    given = found["reports, as given"]
    assert len(given) == 4
    assert found["reports, back"] == given
    asked = ("called", "answered", "blame")
    for when in ("today", "again"):
        for one, (report, techniques, again) in zip(given, found[f"reports, {when}"], strict=True):
            of = one["techniques"]
            assert report == again == one
            assert techniques == (of and {name: of[name] for name in asked})


PERIODS = {
    "open": (JOINED, None, False),
    "plans alone": (JOINED, None, False),
    "child": (MONDAY + 2 * DAY, None, False),
    "consent withdrawn": (MONDAY - 9 * DAY, MONDAY + 5 * DAY, False),
    "archived": (JOINED, MONDAY + 4 * DAY, True),
    "": (JOINED, MONDAY + 7 * DAY, False),
}
"""The rule is product's own, no source: from when an account was opened (for a child from the
consent) until it was archived, which was not kept: until the set of the last plan closed."""


@BOTH
def test_a_club_without_counting_periods_gets_the_right_ones(
    server: str, brought_up: Callable[[str], Found]
) -> None:
    def instant(value: str | None) -> datetime | None:
        return value and datetime.fromisoformat(value).replace(tzinfo=UTC)

    for when in ("today", "again"):
        told = brought_up(server)[f"periods, {when}"]
        found = {
            name: (instant(begins), instant(ends), bool(estimated))
            for name, begins, ends, left, estimated in told["periods"]
            if ends == left
        }
        assert found == PERIODS, when
        assert told["outside"] == []
        assert told["overlap"] == (None if server == "sqlite" else "ExclusionViolation")


@BOTH
def test_the_verdicts_of_before_outlooks_wait_and_are_made(
    server: str, brought_up: Callable[[str], Found]
) -> None:
    for when in ("today", "again"):
        # Of a former member nothing is left to look at.
        assert brought_up(server)[f"outlooks, {when}"] == [[["Ines", 0]], 1, 0]


@BOTH
def test_who_was_in_a_group_belongs_since_joining(
    server: str, brought_up: Callable[[str], Found]
) -> None:
    found = brought_up(server)
    assert found["groups, back"] == [["Swifts"], ["Swifts"], []]
    for when in ("today", "again"):
        # Midnight of the 25th in Oslo; of several groups the one that was noted last.
        assert found[f"groups, {when}"] == [
            "M0 Swifts 2026-11-24T23:00:00+00:00 None",
            "M1 Swifts 2026-11-24T23:00:00+00:00 None",
        ]


@BOTH
def test_a_club_without_series_keeps_its_days(
    server: str, brought_up: Callable[[str], Found]
) -> None:
    found = brought_up(server)
    for when in ("with series", "today", "again"):
        told = found[f"days, {when}"]
        assert told["series"] == [[number, *club, 0] for number, club in CLUBS.items()]
        assert len(told["sets"]) == 4 * len(CLUBS)
        for club, kind, of_series in told["sets"]:
            assert of_series == (club if kind == "daily" else None)
    back = found["days, back"]
    assert back["days"] == [[number, *club] for number, club in CLUBS.items()]
    assert back["kinds"] == [["daily", 6], ["homework", 6]]
