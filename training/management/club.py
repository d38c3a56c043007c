"""What the commands of a club's database have in common."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError


class ClubCommand(BaseCommand):
    """A command on the club of a data folder; without one there it says so in a sentence."""

    # It answers no page, and a look at all pages, forms and serializers takes longer than its work.
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--data", metavar="FOLDER", help="the club's data folder")

    def execute(self, *args: Any, **options: Any) -> str | None:
        try:
            return super().execute(*args, **options)
        except DatabaseError as error:
            if _is_missing(error):
                raise CommandError(
                    "There is no club's database here yet. It is made by:  python3 manage.py serve"
                ) from None
            raise


def _is_missing(error: DatabaseError) -> bool:
    """Whether there is no database or no table, in the words of SQLite and of PostgreSQL."""
    said = str(error)
    return any(
        words in said for words in ("unable to open database", "no such table", "does not exist")
    )
