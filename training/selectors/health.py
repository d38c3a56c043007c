"""Whether work gets done: the oldest plan that waits, and the last signs of life."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Min

from training.models import Heartbeat, Plan


@dataclass(frozen=True, slots=True)
class Pulse:
    """Instants in UTC. The age of the oldest waiting row is the measure, not a queue's length."""

    oldest_waiting: datetime | None
    beats: dict[str, datetime]


def pulse(now: datetime) -> Pulse:
    """A look at the database. Raises DatabaseError when it does not answer."""
    waiting = Plan.objects.waiting().filter(handed_in_at__lte=now)
    return Pulse(
        oldest_waiting=waiting.aggregate(oldest=Min("handed_in_at"))["oldest"],
        beats=dict(Heartbeat.objects.values_list("name", "beaten_at")),
    )
