"""What the clock has done again and again: each time it catches up on all that is due."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils import timezone

from training.models import Heartbeat
from training.services import (
    access_records,
    attempts,
    challenges,
    confirming,
    deeds,
    hooks,
    issuing,
    outlooks,
    sets,
    verdicts,
)

PURGE_EVERY = timedelta(hours=1)


def tick(*, drawers: sets.Drawers, now: datetime | None = None) -> None:
    """Issue the sets that are due, finish the closed ones, forget what is kept no longer.

    Once a minute is enough.

    ``drawers``: what scrambles are drawn with.
    """
    now = now or timezone.now()
    _beat("worker", now)
    issuing.issue_due(drawer=drawers.daily, now=now)
    challenges.draw_announced(drawer=drawers.daily, now=now)
    sets.fill_picked(drawer=drawers.picked, now=now)
    sets.finish_closed(now=now)
    confirming.settle_due(now=now)
    hooks.note_due(now=now)
    _purge(now)


def _purge(now: datetime) -> None:
    """Once an hour: the log's old lines, records of access, what has run out."""
    last = Heartbeat.objects.filter(name="purge").first()
    # One that lies ahead was made before the clock was set back.
    if last is not None and abs(now - last.beaten_at) < PURGE_EVERY:
        return
    deeds.purge(now=now)
    access_records.purge(now=now)
    attempts.purge(now=now)
    _beat("purge", now)


def sweep(*, now: datetime | None = None) -> int:
    """Ring again for plans that wait too long. Returns for how many.

    And for outlooks that nobody makes.
    """
    now = now or timezone.now()
    _beat("sweep", now)
    outlooks.sweep(now=now)
    return verdicts.sweep(now=now)


def _beat(name: str, now: datetime) -> None:
    """Note that this part of the site lives; the supervisor and the health page read it."""
    Heartbeat.objects.update_or_create(name=name, defaults={"beaten_at": now})
