"""What the clock has done again and again: each time it catches up on all that is due."""

from __future__ import annotations

from datetime import datetime

from django.utils import timezone

from training.models import Heartbeat
from training.services import deeds, sets, verdicts


def tick(*, drawers: sets.Drawers, now: datetime | None = None) -> None:
    """Issue the sets that are due, finish the closed ones, end old lines of the log.

    Once a minute is enough.

    ``drawers``: what scrambles are drawn with.
    """
    now = now or timezone.now()
    _beat("worker", now)
    sets.issue_due(drawer=drawers.daily, now=now)
    sets.fill_picked(drawer=drawers.picked, now=now)
    sets.finish_closed(now=now)
    deeds.purge(now=now)


def sweep(*, now: datetime | None = None) -> int:
    """Ring again for plans that wait too long. Returns for how many."""
    now = now or timezone.now()
    _beat("sweep", now)
    return verdicts.sweep(now=now)


def _beat(name: str, now: datetime) -> None:
    """Note that this part of the site lives; the supervisor and the health page read it."""
    Heartbeat.objects.update_or_create(name=name, defaults={"beaten_at": now})
