"""Make a one-time sign-in code for an owner who forgot the pass phrase."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import CommandError, CommandParser
from django.urls import reverse

from clubsite.deploy.data_folder import served_at
from clubsite.deploy.options import site_address
from training.management.club import ClubCommand
from training.refusals import Refusal
from training.services.accounts import CODE_DAYS, make_owner_code


class Command(ClubCommand):
    help = "Make a one-time sign-in code for an owner who forgot the pass phrase."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("sign_in_name", help="the owner's sign-in name")
        super().add_arguments(parser)
        parser.add_argument(
            "--address", type=site_address, help="the site's address, such as https://club.example"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            code = make_owner_code(sign_in_name=options["sign_in_name"])
        except Refusal as refusal:
            raise CommandError(str(refusal)) from None
        address = (options["address"] or served_at(Path(settings.DATA))).rstrip("/")
        self.stdout.write(
            f"This code lets {options['sign_in_name']} in once, for {CODE_DAYS} days:"
        )
        self.stdout.write(f"\n    {code}   at   {address}{reverse('code')}\n")
