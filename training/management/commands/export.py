"""``manage.py export``: everything that a club owns, in one archive."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError, CommandParser

from training.management.club import ClubCommand
from training.models import Club
from training.services.archiving import club_archive
from training.sheets import COMMAS, POINTS


class Command(ClubCommand):
    help = "Write everything that a club owns into one zip archive, as CSV and JSON."

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("file", metavar="FILE", help="the archive to write; it must not exist")
        parser.add_argument("--club", metavar="NAME", help="the club, as its address has it")
        parser.add_argument(
            "--commas", action="store_true", help="CSV with semicolons and decimal commas"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        club = _club(options["club"])
        target = Path(options["file"])
        part = target.with_name(f"{target.name}.part")
        if target.exists():
            raise CommandError(f"{target} is there already. Name another file.")
        style = COMMAS if options["commas"] else POINTS
        try:
            # Names of people are in it: for nobody else on this machine.
            handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            with os.fdopen(handle, "wb") as file:
                for piece in club_archive(club, style=style):
                    file.write(piece)
            part.rename(target)
        except OSError as error:
            raise CommandError(f"{target} cannot be written: {error.strerror}.") from None
        finally:
            part.unlink(missing_ok=True)
        self.stdout.write(f"Everything that {club.name} owns is in {target}.")


def _club(slug: str | None) -> Club:
    clubs = {one.slug: one for one in Club.objects.order_by("slug")}
    if slug is None and len(clubs) == 1:
        return next(iter(clubs.values()))
    if slug not in clubs:
        named = ", ".join(clubs) or "none"
        raise CommandError(f"Name one of the clubs with --club. There are: {named}.")
    return clubs[slug]
