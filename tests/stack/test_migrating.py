"""Migrating a PostgreSQL database that people are using."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest

from clubsite.deploy import programs
from tests.stack.older import TABLE
from tests.stack.site import Site


@pytest.fixture
def older_site(folder: Path, older_url: str) -> Iterator[Site]:
    """A site whose database has the shape of an earlier version: a table changes after it."""
    made = Site(folder, database_url=older_url, broker_url="memory://")
    yield made
    made.close()


def test_a_locked_table_is_waited_for_without_stopping_its_readers(
    older_site: Site, older_url: str
) -> None:
    """A change that waits for a lock makes all later readers wait: so it gives up and retries."""
    site = older_site
    with psycopg.connect(older_url) as slow_reader:
        slow_reader.execute(f"SELECT count(*) FROM {TABLE}")
        output: list[str] = []
        running = threading.Thread(
            target=lambda: output.append(site.run(programs.manage("prepare")))
        )
        running.start()
        deadline = time.monotonic() + 60
        with psycopg.connect(older_url, autocommit=True) as reader:
            # Every later reader gets its turn although the first one never lets go.
            while time.monotonic() < deadline and not _change_waits(reader):
                time.sleep(0.02)
            reader.execute("SET statement_timeout = '30s'")
            reader.execute(f"SELECT count(*) FROM {TABLE}")
            assert running.is_alive()
        time.sleep(0.5)
        slow_reader.rollback()
    running.join(timeout=120)
    assert not running.is_alive()
    assert "The database is busy. Trying again." in output[0]
    site.run(programs.manage("migrate", "--check"))


def _change_waits(connection: psycopg.Connection[tuple[object, ...]]) -> bool:
    """Whether some other connection waits for a lock (PostgreSQL's own view of locks)."""
    row = connection.execute(
        "SELECT count(*) FROM pg_locks WHERE NOT granted AND locktype = 'relation'"
    ).fetchone()
    return row is not None and row[0] != 0


def test_two_servers_that_start_together_migrate_one_after_the_other(older_site: Site) -> None:
    site = older_site
    results: list[str] = []
    threads = [
        threading.Thread(target=lambda: results.append(site.run(programs.manage("prepare"))))
        for _ in range(2)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=120)
    assert len(results) == 2
    site.run(programs.manage("migrate", "--check"))
