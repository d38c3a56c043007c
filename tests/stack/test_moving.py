"""A club moves from SQLite to a real PostgreSQL: every row, and back to work there."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import psycopg
import pytest

from clubsite.deploy import programs
from clubsite.deploy.backups import write_copy
from tests.stack.servers import Valkey
from tests.stack.serving import manage
from tests.stack.site import Site


def rows(address: str) -> dict[str, int]:
    with psycopg.connect(address) as connection:
        found = connection.execute(
            "SELECT tablename FROM pg_tables WHERE schemaname = 'public'"
        ).fetchall()
        return {
            name: connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0]
            for (name,) in found
        }


def rows_of_file(file: Path) -> dict[str, int]:
    with closing(sqlite3.connect(file)) as connection:
        names = [
            name
            for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            if not name.startswith("sqlite_")
        ]
        return {
            name: connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0]
            for name in names
        }


def cells_of_file(file: Path) -> list[str]:
    """Everything that a file holds, as the statements that would make it again."""
    with closing(sqlite3.connect(file)) as connection:
        return list(connection.iterdump())


def test_a_club_with_a_history_moves_and_goes_on(
    folder: Path, empty_url: str, broker: Valkey, demo_file: Path
) -> None:
    # The demo's club, because it has weeks of everything; then it is served as any other.
    write_copy(demo_file, folder / "club.sqlite3")
    demo = Site(folder, database_url="", broker_url=broker.url)
    before = rows_of_file(folder / "club.sqlite3")
    contents = cells_of_file(folder / "club.sqlite3")
    said = demo.run(programs.manage("move-database", empty_url))
    # The club that was moved is what it was: nothing of the new tables was made over here.
    assert cells_of_file(folder / "club.sqlite3") == contents
    demo.close()
    assert "Every summary agrees with the verdicts." in said
    assert before["training_verdict"] > 100
    assert rows(empty_url) == before
    assert f"{sum(before.values()) - before['django_migrations']:,} rows" in said
    with (
        psycopg.connect(empty_url) as there,
        closing(sqlite3.connect(folder / "club.sqlite3")) as here,
    ):
        # Values that a model's own clock or another notation would have changed.
        for table, column in (
            ("training_person", "created_at"),
            ("training_plan", "handed_in_at"),
            ("training_plan", "key"),
        ):
            statement = f"SELECT {column} FROM {table} ORDER BY id LIMIT 300"
            theirs = [str(row[0]) for row in there.execute(statement)]
            ours = [str(row[0]) for row in here.execute(statement)]
            assert [_plain(one) for one in theirs] == [_plain(one) for one in ours], column
        # The next row gets a number that nobody has.
        for table in ("training_plan", "training_person", "training_scrambleset"):
            top = there.execute(f"SELECT max(id) FROM {table}").fetchone()[0]
            following = there.execute(
                f"SELECT nextval(pg_get_serial_sequence('{table}', 'id'))"
            ).fetchone()[0]
            assert following > top
    # A second time is refused, and changes nothing.
    again = Site(folder, database_url="", broker_url=broker.url)
    with pytest.raises(AssertionError, match="The new database is not empty"):
        again.run(programs.manage("move-database", empty_url))
    again.close()
    assert rows(empty_url) == before


def _plain(value: str) -> str:
    """A time or a key whatever way the database writes it."""
    return value.replace("+00:00", "").replace("-", "").replace("T", " ").rstrip("0").rstrip(".")


def test_a_row_that_does_not_go_in_leaves_the_new_database_empty(
    small_site: Site, postgres_url: str
) -> None:
    with closing(sqlite3.connect(small_site.data / "club.sqlite3", isolation_level=None)) as file:
        # SQLite takes a text with a NUL; PostgreSQL has no way to keep one.
        file.execute(
            "INSERT INTO training_person "
            "(sign_in_name, password, is_active, must_choose_phrase, language, created_at) "
            "VALUES ('in' || char(0) || 'es', '!', 1, 0, '', '2026-01-01 00:00:00')"
        )
    with pytest.raises(AssertionError, match=r"Nothing was moved\. A row of training_person"):
        small_site.run(programs.manage("move-database", postgres_url))
    assert rows(postgres_url)["training_person"] == 0
    with closing(sqlite3.connect(small_site.data / "club.sqlite3", isolation_level=None)) as file:
        file.execute("UPDATE training_person SET sign_in_name = 'ines'")
    small_site.run(programs.manage("move-database", postgres_url))
    assert rows(postgres_url)["training_person"] == 1


def test_only_a_club_and_only_to_postgresql(folder: Path, small_site: Site) -> None:
    refused = manage("move-database", f"sqlite:///{folder}/new", data=small_site.data)
    assert refused.returncode == 1
    assert "must be PostgreSQL" in refused.stderr
    nowhere = manage("move-database", "nonsense", data=small_site.data)
    assert nowhere.returncode == 2
    assert nowhere.stderr.startswith("DATABASE_URL begins with 'nonsense'")
