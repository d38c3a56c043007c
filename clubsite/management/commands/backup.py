"""Copy a SQLite database while the site goes on working."""

from __future__ import annotations

import sqlite3
from argparse import ArgumentParser
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

    def handle(self, *args: Any, **options: Any) -> None:
        if connection.vendor != "sqlite":
            raise CommandError("This club's database is PostgreSQL: copy it with pg_dump.")
        database = Path(connection.settings_dict["NAME"])
        try:
            if options["to"]:
                made = backups.write_copy(database, Path(options["to"]).expanduser().absolute())
            else:
                folder = Path(settings.DATA) / "backups"
                made = backups.copy_database(database, folder, backups.BY_HAND)
        except (sqlite3.Error, backups.BadCopy, OSError) as error:
            raise CommandError(f"The database could not be copied: {error}.") from None
        self.stdout.write(f"Copied and checked:\n  {made}")
        self.stdout.write("It holds what members wrote. Keep it as you keep the club's papers.")
