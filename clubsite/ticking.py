"""The clock's rounds, told by a clock that only goes forward.

Celery's own scheduler reckons by the time of day and keeps its last rounds in a file: set back
by a day, it does nothing until tomorrow. Here each round is due so many seconds after the one
before, whatever the time of day, and nothing is kept: a start begins with every round, which
does no harm, because each catches up on all that is due.
"""

from __future__ import annotations

from time import monotonic
from typing import Any

from celery.beat import Scheduler

LONGEST_REST = 5.0
"""Seconds between two looks, whatever is due."""


class Ticking(Scheduler):
    """Rings for every entry of ``beat_schedule`` at its interval."""

    def __init__(self, *arguments: Any, **options: Any) -> None:
        self._due: dict[str, float] = {}
        self._seconds: dict[str, float] = {}
        super().__init__(*arguments, **options)

    def setup_schedule(self) -> None:
        super().setup_schedule()
        self._seconds = {
            name: float(entry["schedule"]) for name, entry in self.app.conf.beat_schedule.items()
        }

    def tick(self, *arguments: Any, **options: Any) -> float:
        """Ring for what is due. Returns the seconds until the next look."""
        for name, seconds in self._seconds.items():
            now = monotonic()
            if now >= self._due.get(name, now):
                self._due[name] = now + seconds
                self.apply_entry(self.schedule[name], producer=self.producer)
        rest = min(self._due.values(), default=float("inf")) - monotonic()
        return max(0.0, min(rest, LONGEST_REST))
