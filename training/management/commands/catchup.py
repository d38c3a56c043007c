"""``manage.py catchup``: verdicts and summaries brought up to date after an upgrade."""

from __future__ import annotations

import os
from typing import Any

from solverworker.review import check_plan
from training.management.club import ClubCommand
from training.services.catching_up import catch_up


class Command(ClubCommand):
    help = (
        "Check old plans by the newer rules, switch to them, and make summaries anew that differ "
        "from the verdicts. `serve` does it by itself after an upgrade. Results in closed sets "
        "stay. Broken off, it goes on where it was."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        # People's plans come first.
        os.nice(10)
        catch_up(
            check=lambda scramble, plan, colours: check_plan(scramble, plan, colours=colours),
            say=self.stdout.write,
        )
        self.stdout.write("Verdicts and summaries are up to date.")
