"""Whether work gets done: the oldest plan that waits, signs of life, what the site stands on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import connection
from django.db.models import Count, Min, Q, Sum

from training.models import (
    Club,
    Heartbeat,
    Plan,
    PlanStatus,
    ScrambleSummary,
    SetSummary,
    Verdict,
    Verification,
)

LATE_SECONDS = 120
"""A plan that waits longer than this, or a clock that is silent for longer, is trouble."""
LOW_BYTES = 200_000_000
FULL_BYTES = 20_000_000
"""With less than this a copy, a log or a plan may find no room at any moment."""

SOUND_SQLITE = (3, 51, 3)
"""Before it SQLite has a rare fault in the way of writing that we use (its own WAL-reset bug)."""
AGREEMENT_DAYS = 7

CATCHING_UP = "catching-up"
"""Name of the mark that verdicts or summaries are being brought up to date after an upgrade."""


@dataclass(frozen=True, slots=True)
class Pulse:
    """Instants in UTC. The age of the oldest waiting row is the measure, not a queue's length."""

    oldest_waiting: datetime | None
    beats: dict[str, datetime]


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a site stands on, as the project around the club finds it.

    ``clock_stepped``: seconds by which the time of day was set since the web process started.
    ``queued``: messages in the work queue, None when it does not answer. ``last_copy``: when the
    newest copy of the database was made; ``copies_here``: whether copies are the site's own work.
    ``programs``: names with versions.
    """

    free_bytes: int
    clock_stepped: float
    queued: int | None
    last_copy: datetime | None
    copies_here: bool
    programs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Storage:
    """The database: its maker, version, and whether that version is one to keep copies of."""

    name: str
    version: str
    has_known_fault: bool


@dataclass(frozen=True, slots=True)
class Agreement:
    """Whether the summaries of a club's last days add up to the verdicts they come from."""

    plans: int
    agrees: bool


@dataclass(frozen=True, slots=True)
class Verified:
    """When everything was last recomputed, and how many differences still stand."""

    ended_at: datetime
    differences: int


def pulse(now: datetime) -> Pulse:
    """A look at the database. Raises DatabaseError when it does not answer."""
    waiting = Plan.objects.waiting().filter(handed_in_at__lte=now)
    return Pulse(
        oldest_waiting=waiting.aggregate(oldest=Min("handed_in_at"))["oldest"],
        beats=dict(Heartbeat.objects.values_list("name", "beaten_at")),
    )


def plans_by_status() -> dict[str, int]:
    """How many plans there are of each status, those of which there are none included."""
    counted = Plan.objects.order_by().values_list("status").annotate(Count("pk"))
    return dict.fromkeys(PlanStatus.values, 0) | dict(counted)


def verdict_seconds(since: datetime, *, most: int = 1000) -> list[float]:
    """From hand-in to verdict, of the newest plans handed in after ``since``."""
    newest = Verdict.objects.order_by("-pk").values_list("plan__handed_in_at", "checked_at")[:most]
    return [(checked - came).total_seconds() for came, checked in newest if came >= since]


def storage() -> Storage:
    """What the database says of itself."""
    connection.ensure_connection()
    if connection.vendor == "postgresql":
        number = connection.get_database_version()
        return Storage("PostgreSQL", ".".join(str(part) for part in number), False)
    number = connection.get_database_version()
    return Storage("SQLite", ".".join(str(part) for part in number), number < SOUND_SQLITE)


def agreement(club: Club, now: datetime) -> Agreement:
    """Add up the sets of a club's last days three times: verdicts, summaries by member, by cross.

    Three queries. What each row holds is compared by ``manage.py verify``.
    """
    since = now - timedelta(days=AGREEMENT_DAYS)
    verdicts = Verdict.objects.counting().filter(
        plan__scramble__scramble_set__club=club, plan__scramble__scramble_set__opens_at__gte=since
    )
    # What is out of time counts 8, however well it solves.
    in_time = Q(plan__out_of_time=False)
    of_verdicts = verdicts.aggregate(
        plans=Count("pk"),
        exact=Count("pk", filter=Q(excess=0) & in_time),
        lost=Sum("excess", filter=in_time, default=0),
    )
    sums = {name: Sum(name, default=0) for name in ("plans", "exact", "lost")}
    of_members = SetSummary.objects.filter(
        scramble_set__club=club, scramble_set__opens_at__gte=since
    ).aggregate(**sums)
    of_crosses = ScrambleSummary.objects.filter(
        scramble__scramble_set__club=club, scramble__scramble_set__opens_at__gte=since
    ).aggregate(**sums)
    return Agreement(of_verdicts["plans"], of_verdicts == of_members == of_crosses)


def last_verified() -> Verified | None:
    """What the newest finished run of ``manage.py verify`` found; None before the first."""
    run = Verification.objects.filter(ended_at__isnull=False).order_by("-pk").first()
    if run is None or run.ended_at is None:
        return None
    return Verified(run.ended_at, run.differences.filter(repaired_at__isnull=True).count())


def catches_up() -> bool:
    """Whether what reviews sum up is still being brought up to date."""
    return Heartbeat.objects.filter(name=CATCHING_UP).exists()
