"""Make the one-time link for the first owner again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import CommandError, CommandParser

from clubsite.deploy.data_folder import served_at
from clubsite.deploy.options import site_address
from training.management.club import ClubCommand
from training.services.people import make_owner_link, needs_first_owner


class Command(ClubCommand):
    help = "Make the one-time link for the first owner again; an earlier one stops working."

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument(
            "--address", type=site_address, help="the site's address, such as https://club.example"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if not needs_first_owner():
            raise CommandError(
                "The club here has an owner already. An owner who forgot the pass phrase gets "
                "a sign-in code:  python3 manage.py ownercode SIGN-IN-NAME"
            )
        link = make_owner_link(base_url=options["address"] or served_at(Path(settings.DATA)))
        self.stdout.write("This link makes you the owner. It works once:")
        self.stdout.write(f"\n    {link}\n")
