"""How the site is, for owners: each thing that can be wrong is said in words, and by whom mended.

Common practice, no source; the bounds are those of ``/health/``.
"""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from clubsite import surroundings
from tests.conftest import NOON
from tests.web.conftest import ROOT, reader_for, words
from training import dispatch
from training.models import Derived, Heartbeat, Membership, SetSummary, Verification
from training.selectors import health
from training.selectors.health import Storage, Surroundings

WELL = Surroundings(
    free_bytes=12_340_000_000,
    clock_stepped=0.0,
    queued=0,
    last_copy=NOON - timedelta(hours=16),
    copies_here=True,
    programs=(("Within Eight", "0123456789ab"), ("Python", "3.11.7")),
)
PAGE = f"{ROOT}/site/"


@pytest.fixture
def around(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Say what the site stands on; all is well until a test says otherwise."""

    def stands_on(**changes: Any) -> None:
        monkeypatch.setattr(surroundings, "look", lambda: replace(WELL, **changes))

    stands_on()
    monkeypatch.setattr(health, "storage", lambda: Storage("SQLite", "3.51.3", False))
    return stands_on


@pytest.fixture
def beating(db: None) -> None:
    for name, age in (("worker", 30), ("sweep", 5)):
        Heartbeat.objects.create(name=name, beaten_at=NOON - timedelta(seconds=age))


def page(owner: Membership) -> str:
    return words(reader_for(owner).get(PAGE))


def test_all_is_well(around: Any, beating: None, owner: Membership) -> None:
    said = page(owner)
    for words_of_it in (
        "All is well.",
        "No plan waits for its verdict.",
        "Last heard 30 seconds ago.",
        "It answers, and nothing waits in it.",
        "Free: 12.3 GB.",
        "By this machine it is 13:00 in the club’s time zone.",
        "The last copy on this machine was made yesterday at 21:00",
        "In the last seven days they add up",
        "SQLite 3.51.3 answers.",
        "Python 3.11.7",
    ):
        assert words_of_it in said, words_of_it
    assert "needs somebody" not in said


@pytest.mark.parametrize(
    ("changes", "sentence", "head"),
    [
        ({"free_bytes": 150_000_000}, "Free: 150 MB. That is little.", "Somebody should look"),
        ({"free_bytes": 10_000_000}, "Make room now.", "Something is wrong."),
        ({"queued": None}, "It does not answer. Plans wait", "Something is wrong."),
        ({"queued": 7}, "Waiting in it: 7 messages.", "All is well."),
        ({"clock_stepped": -7200.0}, "It was set back by 2 hours", "Somebody should look"),
        ({"clock_stepped": 90_000.0}, "set forward by 25 hours", "Somebody should look"),
        ({"last_copy": None}, "There is no copy of the database yet.", "Somebody should look"),
        (
            {"last_copy": NOON - timedelta(days=9)},
            "What was done since then would be lost",
            "Somebody should look",
        ),
        ({"copies_here": False}, "copied by whoever runs the server", "All is well."),
    ],
)
def test_what_the_site_stands_on(
    around: Any, beating: None, owner: Membership, changes: Any, sentence: str, head: str
) -> None:
    around(**changes)
    said = page(owner)
    assert sentence in said
    assert head in said


def test_workers_never_heard_late_and_ahead(around: Any, owner: Membership) -> None:
    assert "They were never heard from here." in page(owner)
    beats = [
        Heartbeat.objects.create(name=name, beaten_at=NOON - timedelta(minutes=9))
        for name in ("worker", "sweep")
    ]
    assert "Last heard 9 minutes ago. They should be heard" in page(owner)
    beats[0].beaten_at = NOON + timedelta(hours=3)
    beats[0].save()
    said = page(owner)
    assert "lies in the future: the clock of the machine was set" in said
    assert "Something is wrong." in said


def test_a_plan_that_waits(around: Any, beating: None, owner: Any, member: Any, given: Any) -> None:
    opened = given.a_set()
    waits = given.a_plan(member, opened, 1, "R", checked=False, at=NOON - timedelta(seconds=30))
    said = page(owner)
    assert "has waited for 30 seconds." in said
    assert "All is well." in said
    waits.handed_in_at = NOON - timedelta(minutes=5)
    waits.save()
    said = page(owner)
    assert "has waited for 5 minutes." in said
    assert "Something is wrong." in said


def test_numbers_that_do_not_add_up(
    around: Any, beating: None, owner: Any, member: Any, given: Any
) -> None:
    given.a_plan(member, given.a_set(), 1, "D' R' U U'")
    assert "they add up to the verdicts" in page(owner)
    SetSummary.objects.update(lost=7)
    said = page(owner)
    assert "they do not add up" in said
    assert "Something is wrong." in said


def test_what_the_last_recomputing_found(around: Any, beating: None, owner: Any) -> None:
    run = Verification.objects.create(rules_version=1, ended_at=NOON - timedelta(hours=2))
    assert "Everything was recomputed today at 11:00 ; nothing differed." in page(owner)
    found = run.differences.create(kind=Derived.SUMMARY, of_set=1, about="set 1, membership 1")
    assert "recomputed today at 11:00 ; 1 difference." in page(owner)
    found.repaired_at = NOON
    found.save()
    assert "All is well." in page(owner)


def test_an_sqlite_with_a_known_fault_is_said(
    around: Any, beating: None, owner: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(health, "storage", lambda: Storage("SQLite", "3.40.1", True))
    assert "Before 3.51.3 it has a rare fault" in page(owner)


def test_only_owners_see_it_and_find_it_at_the_foot(
    around: Any, owner: Membership, coach: Membership, member: Membership, outsider: Membership
) -> None:
    assert f'href="{PAGE}"' in reader_for(owner).get(f"{ROOT}/people/")
    assert f'href="{PAGE}"' not in reader_for(coach).get(f"{ROOT}/people/")
    for who, status in ((coach, 403), (member, 403), (outsider, 404), (None, 302)):
        reader_for(who).get(PAGE, status)


def test_a_look_at_this_very_machine(
    settings: Any, tmp_path: Path, db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.DATA = tmp_path
    assert surroundings.look().last_copy is None
    (tmp_path / "backups").mkdir()
    for number, name in enumerate(("club-a-by-hand.sqlite3", "club-b.sqlite3", "notes.txt")):
        (tmp_path / "backups" / name).touch()
        os.utime(tmp_path / "backups" / name, (1000.0 + number, 1000.0 + number))
    found = surroundings.look()
    assert found.last_copy == datetime.fromtimestamp(1001.0, UTC)
    assert found.free_bytes > 0
    # Other tests ring bells that nobody answers: what counts is that one more is told.
    assert found.queued is not None
    assert dispatch.ring(10**9)
    assert surroundings.look().queued == found.queued + 1
    assert {"Within Eight", "Python", "Django"} <= {name for name, _ in found.programs}
    assert health.storage().name in {"SQLite", "PostgreSQL"}


def test_a_dead_broker_is_none(settings: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def dead(**options: Any) -> None:
        raise OSError("nobody there")

    monkeypatch.setattr(surroundings.current_app, "connection_for_read", dead)
    assert surroundings.queue_lengths() is None
