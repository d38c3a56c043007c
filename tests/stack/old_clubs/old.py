"""A database at an earlier migration: its models of then, and its rows in plain SQL."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from django.db import connection
from django.db.migrations.loader import MigrationLoader


class Old:
    """The database as it stands at a migration of ours.

    Args:
        stop: the migration's name, or the number that it begins with.
    """

    def __init__(self, stop: str) -> None:
        loader = MigrationLoader(connection)
        name = loader.get_migration_by_prefix("training", stop).name
        self._apps = loader.project_state(("training", name)).apps

    def of(self, name: str) -> Any:
        """A model of ours as it was."""
        return self._apps.get_model("training", name)


def insert(table: str, **values: Any) -> None:
    """Put a row into a table of ours, with nothing that a model would add."""
    marks = ", ".join("%s" for _ in values)
    words = f"INSERT INTO training_{table} ({', '.join(values)}) VALUES ({marks})"
    with connection.cursor() as cursor:
        cursor.execute(words, [_plain(value) for value in values.values()])


def rows(words: str) -> list[list[Any]]:
    """What a question in SQL finds, in forms that JSON keeps."""
    with connection.cursor() as cursor:
        cursor.execute(words)
        return [[_told(cell) for cell in row] for row in cursor.fetchall()]


def _plain(value: Any) -> Any:
    """A value as Django writes it into this kind of database."""
    if not hasattr(value, "year") or connection.vendor != "sqlite":
        return value
    return str(value).partition("+")[0]


def _told(cell: Any) -> Any:
    if isinstance(cell, datetime):
        return cell.astimezone(UTC).replace(tzinfo=None).isoformat(" ")
    return cell if isinstance(cell, (int, str, type(None))) else str(cell)
