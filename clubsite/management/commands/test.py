"""``test`` for Django's list of commands; ``manage.py`` hands over to pytest without it."""

from __future__ import annotations

import sys
from typing import Any

from django.core.management.base import BaseCommand

from clubsite.deploy.commands import run


class Command(BaseCommand):
    help = (
        "Run the whole suite with linters, types and layer checks. What stands behind `test` "
        "goes to pytest."
    )
    requires_system_checks: list[str] = []

    def run_from_argv(self, argv: list[str]) -> None:
        sys.exit(run(argv))

    def handle(self, *args: Any, **options: Any) -> None:
        sys.exit(run(["manage.py", "test"]))
