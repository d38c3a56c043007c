"""Bring the database to the shape that this version needs. ``serve`` does this by itself."""

from __future__ import annotations

import json
import os
import shlex
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import OperationalError, connection

from clubsite.deploy import checkout, migrating
from clubsite.deploy.backups import BadCopy
from training.models import OwnerLink
from training.services.catching_up import mark_if_due
from training.services.people import make_owner_link, needs_first_owner


class Command(BaseCommand):
    help = (
        "Bring the database to the shape that this version needs; a SQLite database is copied "
        "before any change. `serve` does this by itself; a server set up by hand runs it before "
        "its other processes start."
    )
    requires_system_checks = ["database"]

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--data", help="the club's data folder")
        parser.add_argument(
            "--came-from", default="", metavar="COMMIT", help="the version that served it last"
        )
        parser.add_argument(
            "--owner-link",
            metavar="ADDRESS",
            help="make the first owner's one-time link at this address, if none was made yet",
        )
        parser.add_argument(
            "--tell",
            type=int,
            metavar="FD",
            help="write what was done as JSON to this open file descriptor",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            migrating.wait_for_database()
            pending = migrating.pending()
            copy = migrating.copy_before(Path(settings.DATA) / "backups") if pending else None
            if copy is not None:
                self._say_how_to_go_back(copy, options["came_from"])
            elif pending and connection.vendor != "sqlite" and self._holds_a_club():
                self.stdout.write(
                    "The database gets a new shape. It is not copied here: that is your own "
                    "pg_dump's work."
                )
            if pending:
                migrating.migrate(self.stdout.write)
            upgraded = bool(pending) or options["came_from"] not in {"", checkout.commit()}
            told: dict[str, Any] = {
                "applied": len(pending),
                "needs_owner": needs_first_owner(),
                "catch_up": mark_if_due(upgraded=upgraded),
            }
            if options["owner_link"] and told["needs_owner"] and not OwnerLink.objects.exists():
                told["owner_link"] = make_owner_link(base_url=options["owner_link"])
        except migrating.NewerDatabase as error:
            raise CommandError(str(error)) from None
        except BadCopy as error:
            raise CommandError(
                f"The database could not be copied, so nothing was changed. {error}"
            ) from None
        except OperationalError as error:
            what = f"The database does not answer as it should: {error}"
            if connection.vendor == "sqlite":
                what += f": {connection.settings_dict['NAME']}"
            raise CommandError(what) from None
        if options["tell"] is None:
            if "owner_link" in told:
                self.stdout.write(told["owner_link"])
            if told["catch_up"]:
                self.stdout.write(
                    "Verdicts or summaries may be those of an older version. They are brought up "
                    "to date by:  python3 manage.py catchup"
                )
        else:
            with os.fdopen(options["tell"], "w") as out:
                json.dump(told, out)

    def _holds_a_club(self) -> bool:
        return "training_club" in connection.introspection.table_names()

    def _say_how_to_go_back(self, copy: Path, came_from: str) -> None:
        data = f" --data {shlex.quote(str(settings.DATA))}"
        self.stdout.write("This version needs a new shape of the database. It was copied first:")
        self.stdout.write(f"  {copy}")
        self.stdout.write("To go back, stop the server and run:")
        if came_from:
            self.stdout.write(f"  git checkout {came_from}")
        self.stdout.write(f"  python3 manage.py restore {shlex.quote(str(copy))}{data}")
