"""Databases of earlier versions: each is kept on one way from nothing to today's shape.

``python -m tests.stack.older PLACE`` goes that way step by step, as every database does that holds
anything (an empty one gets its tables at once: ``clubsite/deploy/first_tables.py``). A test that
begins at an earlier version begins with a copy: to make one takes longer than the test itself.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import django

from clubsite.deploy.backups import write_copy

OLDEST = "0020"
"""Where the clubs of old begin that are brought up to today."""

BEFORE = "0046"
"""The shape of an earlier version, as near to today's as one after which a table changes."""

TABLE = "training_club"
"""The table that the migration after it changes."""

STOPS = (OLDEST, BEFORE)
"""The migrations after which a database is kept."""


def file_at(stop: str, today: Path) -> Path:
    """Where the file of an earlier version is kept, beside that of today."""
    return today.with_name(f"{today.stem}-{stop}.sqlite3")


def database_at(stop: str, today: str) -> str:
    """The name under which the database of an earlier version is kept on the server of today's."""
    return f"{today}_{stop}"


def make(today: Path) -> None:
    """Bring an empty database to today's shape and keep a copy at each stop.

    Args:
        today: where a file of today's shape will be put; those of before are put beside it. On
            PostgreSQL they are databases of the same server.
    """
    django.setup()
    from django.core.management import call_command
    from django.core.management.commands import migrate
    from django.db import connection

    name = str(connection.settings_dict["NAME"])
    kept = []

    def keep(stop: str) -> None:
        if connection.vendor == "sqlite":
            write_copy(Path(name), file_at(stop, today))
        else:
            # Of a database that is copied there may be no other user.
            connection.close()
            with connection._nodb_cursor() as cursor:
                cursor.execute(f"CREATE DATABASE {database_at(stop, name)} TEMPLATE {name}")
        kept.append(stop)

    class Stopping(migrate.Command):
        def migration_progress_callback(
            self, action: str, migration: Any = None, fake: bool = False
        ) -> None:
            super().migration_progress_callback(action, migration, fake)
            if action == "apply_success" and migration.app_label == "training":
                stop = migration.name.partition("_")[0]
                if stop in STOPS:
                    keep(stop)

    call_command(Stopping(), interactive=False, verbosity=0)
    assert tuple(kept) == STOPS
    call_command("prepare")


if __name__ == "__main__":
    make(Path(sys.argv[1]))
