"""Django's ``migrate``; an empty database gets its tables at once, as they are today."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.commands import migrate
from django.db import connections

from clubsite.deploy import first_tables

_OTHER_WISHES = ("app_label", "fake", "fake_initial", "plan", "check_unapplied", "prune")


class Command(migrate.Command):
    def handle(self, *args: Any, **options: Any) -> None:
        # Who puts other migrations in the place of ours, or none, wants what those make.
        as_ever = settings.MIGRATION_MODULES or any(options[wish] for wish in _OTHER_WISHES)
        connection = connections[options["database"]]
        if not as_ever and first_tables.is_empty(connection):
            if options["verbosity"] >= 1:
                self.stdout.write("The database is empty: its tables are made as they are today.")
            first_tables.make(connection)
        super().handle(*args, **options)
