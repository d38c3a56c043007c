"""Whether work gets done: the oldest plan that waits, and the last signs of life."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import connection
from django.db.models import Min

from training.models import Heartbeat, Plan


@dataclass(frozen=True, slots=True)
class Pulse:
    """Instants in UTC. The age of the oldest waiting row is the measure, not a queue's length."""

    database_version: str
    oldest_waiting: datetime | None
    beats: dict[str, datetime]


def pulse(now: datetime) -> Pulse:
    """A look at the database. Raises DatabaseError when it does not answer."""
    with connection.cursor() as cursor:
        query = "sqlite_version()" if connection.vendor == "sqlite" else "version()"
        cursor.execute(f"SELECT {query}")
        version = str(cursor.fetchone()[0])
    waiting = Plan.objects.waiting().filter(handed_in_at__lte=now)
    return Pulse(
        database_version=version.split(" on ")[0],
        oldest_waiting=waiting.aggregate(oldest=Min("handed_in_at"))["oldest"],
        beats=dict(Heartbeat.objects.values_list("name", "beaten_at")),
    )
