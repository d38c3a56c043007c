"""Brings a database to the shape that this version of the site needs."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.core.management import call_command
from django.db import OperationalError, connection
from django.db.migrations.executor import MigrationExecutor

from clubsite.deploy import backups

LOCK_TIMEOUT = "3s"
TRIES = 20
_FOR_GOOD = ("authentication failed", "does not exist", "no password supplied", "invalid ")
_ONE_AT_A_TIME = 0x8E16_87
"""Key of PostgreSQL's advisory lock: two starting servers migrate one after the other."""


class NewerDatabase(Exception):
    """The database was made by a newer version of the site."""


def wait_for_database(patience: float = 30.0) -> None:
    """Wait until the database answers; a server beside us may start more slowly.

    Raises:
        OperationalError: when it does not answer within ``patience`` seconds.
    """
    until = time.monotonic() + patience
    while True:
        try:
            connection.ensure_connection()
            return
        except OperationalError as error:
            if time.monotonic() > until or _is_for_good(error):
                raise
            time.sleep(0.5)


def _is_for_good(error: OperationalError) -> bool:
    """Whether waiting changes nothing: no such file, name, role or phrase."""
    said = str(error)
    return connection.vendor == "sqlite" or any(words in said for words in _FOR_GOOD)


def pending() -> list[str]:
    """Names of the migrations that are still to be applied, in order.

    Raises:
        NewerDatabase: when the database has migrations that this version does not know.
    """
    executor = MigrationExecutor(connection)
    loader = executor.loader
    unknown = sorted(
        f"{app}.{name}"
        for app, name in loader.applied_migrations
        if app in loader.migrated_apps
        and (app, name) not in loader.graph.nodes
        # A squashed migration that is gone from the disk was replaced, not lost.
        and not any((app, name) in new.replaces for new in loader.disk_migrations.values())
    )
    if unknown:
        raise NewerDatabase(
            "The database was made by a newer version of Within Eight (it knows "
            f"{', '.join(unknown)}).\nGet that version again, or put back a copy of the database "
            "from before:  python3 manage.py restore"
        )
    targets = loader.graph.leaf_nodes()
    return [f"{step.app_label}.{step.name}" for step, _ in executor.migration_plan(targets)]


def copy_before(folder: Path) -> Path | None:
    """Copy a SQLite database that holds anything, and forget the oldest such copies."""
    if connection.vendor != "sqlite" or not connection.introspection.table_names():
        return None
    made = backups.copy_database(
        Path(connection.settings_dict["NAME"]), folder, backups.BEFORE_UPGRADE
    )
    backups.forget_old(folder)
    return made


def migrate(say: Callable[[str], None], *, tries: int = TRIES, pause: float = 1.0) -> None:
    """Apply what is pending.

    On PostgreSQL a change that has to wait for a table's lock would stop every
    reader that comes after it: it waits three seconds at most, then lets the
    readers through and tries again. What was applied stays applied.

    Raises:
        OperationalError: when the lock cannot be had after all tries.
    """
    with _one_at_a_time():
        for attempt in range(1, tries + 1):
            try:
                if connection.vendor == "postgresql":
                    with connection.cursor() as cursor:
                        cursor.execute(f"SET lock_timeout = '{LOCK_TIMEOUT}'")
                call_command("migrate", interactive=False, verbosity=0)
                return
            except OperationalError as error:
                if attempt == tries or not _waited_for_a_lock(error):
                    raise
                say("The database is busy. Trying again.")
                time.sleep(pause)


def _waited_for_a_lock(error: OperationalError) -> bool:
    return getattr(error.__cause__, "sqlstate", None) == "55P03"


@contextmanager
def _one_at_a_time() -> Any:
    """Hold PostgreSQL's advisory lock on a connection of its own, which migrating cannot lose."""
    if connection.vendor != "postgresql":
        yield
        return
    guard = connection.copy()
    try:
        with guard.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_lock(%s)", [_ONE_AT_A_TIME])
            yield
            cursor.execute("SELECT pg_advisory_unlock(%s)", [_ONE_AT_A_TIME])
    finally:
        guard.close()
