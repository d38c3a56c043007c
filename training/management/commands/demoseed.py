"""``manage.py demoseed``: fills the demo's database; only where DEMO is set."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from training.management.demo import cast
from training.management.demo.build import PHRASE, build
from training.management.demo.challenges import add_challenges
from training.management.demo.nights import hold_night
from training.management.demo.timed_night import hold_timed_night


class Command(BaseCommand):
    help = "Fill the demo's database with the demo club, or bring it up to today."
    # As of a ClubCommand: it answers no page.
    requires_system_checks: list[str] = []

    def handle(self, *args: Any, **options: Any) -> None:
        if not settings.DEMO:
            raise CommandError("This is no demo: nothing was changed. `manage.py demo` makes one.")
        now = timezone.now()
        found = build(now=now)
        add_challenges(now=now)
        hold_night(now=now)
        hold_timed_night(now=now)
        self.stdout.write(f"{cast.CLUB}, an invented club. Sign in as any of these:")
        for role, word in (("owner", "owner"), ("coach", "coach"), ("member", "members")):
            names = ", ".join(one.sign_in_name for one in found if one.role == role)
            self.stdout.write(f"  {word:<8} {names}")
        self.stdout.write(f"  The pass phrase of all of them: {PHRASE}")
