"""Starts PostgreSQL and brokers once a run, and a site for each test."""

from __future__ import annotations

import os
import sys
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg
import pytest
from filelock import FileLock

from clubsite.deploy import programs
from clubsite.deploy.backups import write_copy
from tests.database import made_once
from tests.stack.older import BEFORE, STOPS, database_at
from tests.stack.servers import NamedPostgres, Postgres, Valkey
from tests.stack.site import Site, short_folder

MakeSite = Callable[[], Site]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything in this folder starts real servers."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.stack)


@pytest.fixture(scope="session")
def postgres(of_this_run: Path) -> Iterator[Postgres | NamedPostgres]:
    """A PostgreSQL server: the one that ``DATABASE_URL`` names, or one of our own."""
    named = os.environ.get("DATABASE_URL", "")
    if named.startswith("postgres"):
        yield NamedPostgres(named)
        return
    server = Postgres(_made_with_tables(of_this_run / "postgres"))
    yield server
    server.stop()


TEMPLATE = "we_template"
"""A database with tables on every server of our own."""


def _made_with_tables(place: Path) -> Path:
    """What each server of our own begins as; made once a run, for each worker has one."""
    with FileLock(place.with_suffix(".lock")):
        if not place.exists():
            server = Postgres()
            try:
                _make_tables(server, TEMPLATE)
                server.keep(place)
            finally:
                server.stop()
    return place


def _make_tables(server: Postgres | NamedPostgres, name: str) -> None:
    with server.admin() as admin:
        admin.execute(f"CREATE DATABASE {name}")
    with short_folder() as folder:
        site = Site(folder, database_url=server.url(name), broker_url="memory://")
        site.run([sys.executable, "-m", "tests.stack.older", str(folder)])
        site.close()


@pytest.fixture(scope="session")
def migrated(postgres: Postgres | NamedPostgres) -> Iterator[str]:
    """The name of a database that has its tables, to make others from.

    Beside it stand those of earlier versions (``tests.stack.older``).
    """
    if isinstance(postgres, Postgres):
        yield TEMPLATE
        return
    name = f"we_template_{uuid.uuid4().hex[:8]}"
    _make_tables(postgres, name)
    yield name
    with postgres.admin() as admin:
        for one in (name, *(database_at(stop, name) for stop in STOPS)):
            admin.execute(f"DROP DATABASE {one} WITH (FORCE)")


@contextmanager
def a_database(postgres: Postgres | NamedPostgres, begins_as: str) -> Iterator[str]:
    """A new database that begins as another, by its address."""
    name = f"we_test_{uuid.uuid4().hex[:8]}"
    with postgres.admin() as admin:
        admin.execute(f"CREATE DATABASE {name} TEMPLATE {begins_as}")
    yield postgres.url(name)
    with postgres.admin() as admin:
        admin.execute(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def postgres_url(postgres: Postgres | NamedPostgres, migrated: str) -> Iterator[str]:
    """A database of a test's own, with tables and without rows."""
    with a_database(postgres, migrated) as address:
        yield address


@pytest.fixture
def older_url(postgres: Postgres | NamedPostgres, migrated: str) -> Iterator[str]:
    """A database of a test's own in the shape of an earlier version."""
    with a_database(postgres, database_at(BEFORE, migrated)) as address:
        yield address


@pytest.fixture
def empty_url(postgres: Postgres | NamedPostgres, postgres_url: str) -> str:
    """A database without a table."""
    with psycopg.connect(postgres_url, autocommit=True) as connection:
        connection.execute("DROP SCHEMA public CASCADE")
        connection.execute("CREATE SCHEMA public")
    return postgres_url


@pytest.fixture
def folder() -> Iterator[Path]:
    """A data folder with a short path."""
    with short_folder() as found:
        yield found


@pytest.fixture
def broker() -> Iterator[Valkey]:
    """A broker that a test may kill and freeze."""
    with short_folder() as found:
        server = Valkey(found)
        yield server
        server.kill()


@pytest.fixture
def site(folder: Path, postgres_url: str, broker: Valkey) -> Iterator[Site]:
    """A site on PostgreSQL with a club in it; nothing of it runs yet."""
    made = Site(folder, database_url=postgres_url, broker_url=broker.url)
    yield made
    made.close()


@pytest.fixture(scope="session")
def demo_file(of_this_run: Path, migrated_file: Path) -> Path:
    """The demo's database with all its weeks, to copy others from; made once a run."""
    return made_once(of_this_run / "demo.sqlite3", programs.manage("demoseed"), migrated_file)


@pytest.fixture
def small_site(folder: Path, broker: Valkey, migrated_file: Path) -> Iterator[Site]:
    """A site on SQLite, as ``serve`` makes it; nothing of it runs yet."""
    made = Site(folder, database_url="", broker_url=broker.url)
    write_copy(migrated_file, folder / "club.sqlite3")
    yield made
    made.close()
