"""``manage.py summaries``: compare the summaries with the verdicts, or make them anew."""

from __future__ import annotations

from typing import Any

from django.core.management.base import CommandError, CommandParser

from training.management.club import ClubCommand
from training.management.plural import counted
from training.services import summaries


class Command(ClubCommand):
    help = "Compare the summaries with the verdicts they come from, or make them anew."

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--rebuild", action="store_true", help="make all of them anew")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["rebuild"]:
            sets = summaries.rebuild()
            self.stdout.write(f"All summaries of {counted(sets, 'set')} were made anew.")
            return
        found = summaries.differences()
        for line in found:
            self.stdout.write(line)
        if found:
            differ = "differs" if len(found) == 1 else "differ"
            raise CommandError(
                f"{counted(len(found), 'summary', 'summaries')} {differ} from the verdicts. "
                "`manage.py summaries --rebuild` makes all of them anew."
            )
        self.stdout.write("Every summary agrees with the verdicts.")
