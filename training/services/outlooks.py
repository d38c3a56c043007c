"""What plans leave beyond their crosses: waited for with the verdict, made in the slow queue.

The row in version *to be made* is the queue entry. It is there from the same
transaction on as the verdict, so a message that is lost, or a worker that is
killed, loses nothing; made twice it is the same, and stored once.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone

from solverworker.outlook import OUTLOOK_VERSION, PlanOutlook
from training import dispatch
from training.models import TO_BE_MADE, Heartbeat, Outlook, Plan

Maker = Callable[[str, str, Sequence[str], str], PlanOutlook]
"""Makes an outlook: of scramble, plan, allowed colours, the pair ahead."""

BATCH = 200
AT_WORK = "outlooks"
"""The heartbeat of whoever makes what waits."""

SILENT = timedelta(seconds=20)
"""When nobody has made any for so long although some wait, the sweep rings."""

VERDICTS_FIRST = timedelta(seconds=2)
"""While a plan waits so long for its verdict, nobody makes outlooks: they can wait."""

log = logging.getLogger(__name__)


def await_one(plan_id: int) -> None:
    """Put a plan's outlook on the list. Call inside the transaction that stores its verdict."""
    Outlook.objects.bulk_create([Outlook(plan_id=plan_id)], ignore_conflicts=True)


def await_anew(*, plan_ids: Iterable[int]) -> None:
    """Have outlooks made anew, or for the first time, of plans whose verdict was replaced."""
    ids = list(plan_ids)
    Outlook.objects.filter(plan__in=ids).update(version=TO_BE_MADE)
    Outlook.objects.bulk_create((Outlook(plan_id=one) for one in ids), ignore_conflicts=True)


def forget(*, plan_ids: Iterable[int]) -> None:
    """Take away the outlooks of plans that have no verdict any more, or no words."""
    Outlook.objects.filter(plan__in=plan_ids).delete()


def work(*, make: Maker, plan_ids: Sequence[int] = (), now: datetime | None = None) -> int:
    """Make what waits: of some plans or, when none are named, the next batch. Returns how many.

    None while plans wait for their verdicts: the sweep comes back to it.
    """
    now = now or timezone.now()
    if Plan.objects.waiting().filter(rung_at__lte=now - VERDICTS_FIRST).exists():
        return 0
    waiting = Outlook.objects.to_be_made().select_related("plan__scramble__scramble_set")
    if plan_ids:
        waiting = waiting.filter(plan__in=plan_ids)
    else:
        Heartbeat.objects.update_or_create(name=AT_WORK, defaults={"beaten_at": now})
    rows = list(waiting.order_by("version", "plan_id")[:BATCH])
    for row in rows:
        _make(row, make)
    return len(rows)


def _make(row: Outlook, make: Maker) -> None:
    facts = facts_of(row.plan, make)
    # Erased meanwhile, it is not there any more; made by another meanwhile, it is done.
    Outlook.objects.to_be_made().filter(pk=row.pk).update(version=OUTLOOK_VERSION, facts=facts)


def facts_of(plan: Plan, make: Maker) -> dict[str, Any] | None:
    """What a plan leaves, as it is stored; None of a plan that cannot be read."""
    colours = plan.scramble.scramble_set.colours
    try:
        return make(plan.scramble.text, plan.canonical, colours, plan.pair_canonical).to_dict()
    except ValueError as error:
        log.warning("It cannot be said what plan %s leaves: %s", plan.pk, error)
        return None


def sweep(*, now: datetime | None = None) -> bool:
    """Ring for outlooks that nobody makes. Returns whether it did.

    Somebody at work takes one batch after the other; a heartbeat that lies
    ahead was made before the clock was set back.
    """
    now = now or timezone.now()
    beat = Heartbeat.objects.filter(name=AT_WORK).first()
    if beat is not None and abs(now - beat.beaten_at) < SILENT:
        return False
    return Outlook.objects.to_be_made().exists() and dispatch.ask_for_outlooks()
