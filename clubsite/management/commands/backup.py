"""Copy a SQLite database while the site goes on working."""

from __future__ import annotations

import sqlite3
from argparse import ArgumentParser, ArgumentTypeError
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from clubsite.deploy import backups


class Command(BaseCommand):
    help = "Copy the database while the site goes on working; the copy is checked."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--data", help="the club's data folder")
        parser.add_argument("--to", metavar="FILE", help="where to (usually into the data folder)")
        parser.add_argument(
            "--keep",
            type=_bound,
            default=settings.COPIES_KEPT,
            metavar="N",
            help="delete the oldest copies in the data folder beyond so many (usually none)",
        )
        parser.add_argument(
            "--most",
            type=_bound,
            default=settings.COPIES_MOST_MB,
            metavar="MB",
            help="delete the oldest there beyond so many megabytes in all (usually none)",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if connection.vendor != "sqlite":
            raise CommandError("This club's database is PostgreSQL: copy it with pg_dump.")
        database = Path(connection.settings_dict["NAME"])
        gone: list[Path] = []
        try:
            if options["to"]:
                made = backups.write_copy(database, Path(options["to"]).expanduser().absolute())
            else:
                folder = Path(settings.DATA) / "backups"
                made = backups.copy_database(database, folder, backups.BY_HAND)
                gone = backups.prune(
                    folder, keep=options["keep"], most_bytes=options["most"] * 1_000_000
                )
        except (sqlite3.Error, backups.BadCopy, OSError) as error:
            raise CommandError(f"The database could not be copied: {error}.") from None
        self.stdout.write(f"Copied and checked:\n  {made}")
        for path in gone:
            self.stdout.write(f"Deleted, one of the oldest:\n  {path}")
        self.stdout.write("It holds what members wrote. Keep it as you keep the club's papers.")


def _bound(text: str) -> int:
    if not text.isdigit() or int(text) < 1:
        raise ArgumentTypeError(f"{text!r} is no bound: write a whole number from 1")
    return int(text)
