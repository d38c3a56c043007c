"""``restore`` for Django's list of commands; ``manage.py`` runs it without loading the site."""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from clubsite.deploy import restoring


class Command(BaseCommand):
    help = restoring.DESCRIPTION
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        restoring.add_to(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        sys.exit(restoring.main(sys.argv[2:]))
