"""``demo`` for Django's list of commands; ``manage.py`` runs it without loading the site."""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from clubsite.deploy import options as command_line
from clubsite.deploy.serving import main


class Command(BaseCommand):
    help = command_line.parser(demo=True).description or ""
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        command_line.add_to(parser, demo=True)

    def handle(self, *args: Any, **options: Any) -> None:
        sys.exit(main(sys.argv[2:], demo=True))
