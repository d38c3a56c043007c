"""``manage.py warmup``: compile the solver and make its tables before any worker needs them."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand


class Command(BaseCommand):
    help = (
        "Compile the solver and make its tables. After an upgrade this may run while the old "
        "server still serves: caches of old and new stand side by side."
    )
    requires_system_checks: list[str] = []

    def handle(self, *args: Any, **options: Any) -> None:
        # Importing the tasks loads every kernel that a worker uses.
        from solverworker import tasks

        seconds = tasks.worker_start.warm_up()
        tasks.worker_start.note_readiness()
        self.stdout.write(f"The solver is compiled and its tables are made ({seconds:.1f} s).")
