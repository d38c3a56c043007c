"""An empty database gets at once what all migrations would have made of it one by one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.core.management.commands import migrate
from django.db import connection, connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.loader import MigrationLoader
from django.test import override_settings

from clubsite.deploy import first_tables, programs
from tests.stack import shapes
from tests.stack.servers import NamedPostgres, Postgres
from tests.stack.site import Site


def differences(one: dict[str, shapes.Facts], other: dict[str, shapes.Facts]) -> list[str]:
    found = []
    for subject in one.keys() | other.keys():
        here, there = set(map(repr, one[subject])), set(map(repr, other[subject]))
        found += [f"{subject}, step by step alone: {fact}" for fact in here - there]
        found += [f"{subject}, at once alone: {fact}" for fact in there - here]
        if here == there and len(one[subject]) != len(other[subject]):
            found.append(f"{subject}: {len(one[subject])} and {len(other[subject])} facts")
    return sorted(found)


ADVICE = (
    "A migration makes what no model says: add its step to BEYOND_TABLES, if every club needs it."
)


def test_a_file_is_the_one_of_all_migrations(folder: Path, migrated_file: Path) -> None:
    site = Site(folder, database_url="", broker_url="memory://")
    try:
        site.run(programs.manage("prepare"))
    finally:
        site.close()
    found = shapes.of_file(folder / "club.sqlite3")
    assert len(found["tables"]) > 500, "the facts are not read"
    assert sum(kind == "trigger" for kind, *_ in found["beside tables"]) == 4
    assert differences(shapes.of_file(migrated_file), found) == [], ADVICE


def test_a_database_on_a_server_is_the_one_of_all_migrations(
    folder: Path, postgres: Postgres | NamedPostgres, migrated: str, empty_url: str
) -> None:
    site = Site(folder, database_url=empty_url, broker_url="memory://")
    try:
        site.run(programs.manage("prepare"))
    finally:
        site.close()
    found = shapes.of_server(empty_url)
    assert len(found["columns"]) > 400, "the facts are not read"
    assert sum(" EXCLUDE " in f" {fact[-1]}" for fact in found["constraints"]) == 2
    assert differences(shapes.of_server(postgres.url(migrated)), found) == [], ADVICE


@pytest.fixture
def elsewhere(folder: Path, django_db_blocker: Any) -> Iterator[BaseDatabaseWrapper]:
    """A connection to a SQLite file that is not there yet."""
    with django_db_blocker.unblock():
        made = connection.copy("elsewhere")
        made.settings_dict["NAME"] = str(folder / "empty.sqlite3")
        connections["elsewhere"] = made
        yield made
        made.close()
        del connections["elsewhere"]


def test_what_is_cut_short_leaves_nothing(
    elsewhere: BaseDatabaseWrapper, monkeypatch: pytest.MonkeyPatch
) -> None:
    steps = (*first_tables.BEYOND_TABLES, ("training.migrations.0001_initial", "power_fails"))
    monkeypatch.setattr(first_tables, "BEYOND_TABLES", steps)
    with pytest.raises(AttributeError, match="power_fails"):
        first_tables.make(elsewhere)
    assert first_tables.is_empty(elsewhere)
    monkeypatch.setattr(first_tables, "BEYOND_TABLES", steps[:-1])
    first_tables.make(elsewhere)
    noted = MigrationLoader(elsewhere)
    assert noted.applied_migrations.keys() == noted.disk_migrations.keys()


@pytest.mark.parametrize(
    ("asked", "at_once"),
    [
        ({}, True),
        ({"app_label": "training"}, False),
        ({"app_label": "training", "migration_name": "0020"}, False),
        ({"fake": True}, False),
        ({"plan": True}, False),
        ({"check_unapplied": True}, False),
    ],
)
def test_whoever_asks_for_less_than_all_goes_step_by_step(
    elsewhere: BaseDatabaseWrapper,
    monkeypatch: pytest.MonkeyPatch,
    asked: dict[str, Any],
    at_once: bool,
) -> None:
    gone: list[str] = []
    monkeypatch.setattr(first_tables, "make", lambda _: gone.append("at once"))
    monkeypatch.setattr(migrate.Command, "handle", lambda *_, **__: gone.append("on"))
    call_command("migrate", database="elsewhere", verbosity=0, **asked)
    assert gone == (["at once"] if at_once else []) + ["on"]
    # So does whoever replaces our migrations.
    gone.clear()
    with override_settings(MIGRATION_MODULES={"training": None}):
        call_command("migrate", database="elsewhere", verbosity=0)
    assert gone == ["on"]
    # And so does whatever holds anything.
    with elsewhere.cursor() as cursor:
        cursor.execute("CREATE TABLE of_somebody_else (id integer)")
    gone.clear()
    call_command("migrate", database="elsewhere", verbosity=0)
    assert gone == ["on"]
