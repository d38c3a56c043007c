"""The claim, the verdict, the sweep.

A worker *claims* a plan (which counts the attempt before any work is done),
checks it, and *records* the verdict by one conditional write. Messages may
come twice, late or never; none of that changes a result.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext_noop

from solverworker.report import PlanReport
from training import dispatch, inspecting
from training.models import MOST_ATTEMPTS, Plan, PlanStatus, ScrambleSet, Verdict
from training.prepared import LARGE, SMALL, Prepared, PreparedChange
from training.services import outlooks, practice, summaries

GAVE_UP = gettext_noop(
    "The checker stopped three times while checking this plan. A coach can have it checked again."
)
"""Stored with the plan, put into the reader's language when it is shown."""


@dataclass(frozen=True, slots=True)
class Claim:
    """What a worker needs to check one plan."""

    plan_id: int
    scramble: str
    plan: str
    colours: tuple[str, ...]


def claim(*, plan_id: int) -> Claim | None:
    """Start an attempt on a waiting plan.

    None when there is nothing to do: the plan is gone, already checked, or
    out of attempts (it is then marked as failed, with a reason).
    """
    if _claimed(plan_id) != 1:
        fail(plan_id=plan_id, reason=GAVE_UP, only_out_of_attempts=True)
        return None
    for scramble, plan, colours in _to_check(plan_id):
        return Claim(plan_id=plan_id, scramble=scramble, plan=plan, colours=tuple(colours))
    return None


_claimed = PreparedChange(
    lambda pk: (
        Plan.objects.filter(pk=pk).waiting().with_attempts_left(),
        {"attempts": F("attempts") + 1},
    ),
    LARGE,
)
_to_check: Prepared[tuple[str, str, list[str]]] = Prepared(
    lambda pk: (
        Plan.objects.filter(pk=pk)
        .order_by()
        .values_list("scramble__text", "canonical", "scramble__scramble_set__colours")
    ),
    LARGE,
)


def record(*, plan_id: int, report: PlanReport, now: datetime | None = None) -> bool:
    """Store the verdict on a plan without one. Returns whether this call was the one that did.

    The one conditional write on the plan's own columns decides: its row count
    of 1 is the only licence to write the verdict. A plan given up on meanwhile
    takes it too: a late verdict is better than none.
    """
    now = now or timezone.now()
    # Read before the transaction, which is kept short: on SQLite hand-ins wait for it.
    plan = next(iter(_to_record(plan_id)), None)
    if plan is None:
        return False
    with transaction.atomic():
        if _won(plan_id, report.version) != 1:
            return False
        verdict_of(plan_id, report, now).save(force_insert=True)
        outlooks.await_one(plan_id)
        summaries.add(plan=plan, report=report)
        practice.note(plan=plan, report=report)
    return True


_won = PreparedChange(
    lambda pk, version: (
        Plan.objects.filter(pk=pk).pending(),
        {"status": PlanStatus.CHECKED, "failure_reason": "", "rules_version": version},
    ),
    *(LARGE, SMALL),
)
_to_record = Prepared(
    lambda pk: (
        Plan.objects.select_related("membership__club", "scramble__scramble_set")
        .filter(pk=pk)
        .order_by()
    ),
    LARGE,
)


def record_history(*, checked: Sequence[tuple[Plan, PlanReport]]) -> None:
    """Store plans of the past (not yet saved) together with their verdicts, in bulk.

    For histories brought in from elsewhere; a plan handed in by a member goes
    through :func:`claim` and :func:`record`.
    """
    sets = ScrambleSet.objects.in_bulk({plan.scramble.scramble_set_id for plan, _ in checked})
    for plan, report in checked:
        plan.status, plan.rules_version = PlanStatus.CHECKED, report.version
        of_set = sets[plan.scramble.scramble_set_id]
        plan.out_of_time = inspecting.is_out_of_time(of_set, plan.inspection)
    with transaction.atomic():
        plans = Plan.objects.bulk_create([plan for plan, _ in checked])
        Verdict.objects.bulk_create(
            verdict_of(plan.pk, report, plan.handed_in_at)
            for plan, (_, report) in zip(plans, checked, strict=True)
        )
        outlooks.await_anew(plan_ids=[plan.pk for plan in plans])
    summaries.renew_sets(set_ids={plan.scramble.scramble_set_id for plan in plans})


def verdict_of(plan_id: int, report: PlanReport, now: datetime) -> Verdict:
    """The row that keeps a report; not stored yet."""
    return Verdict(
        plan_id=plan_id,
        **kept_of(report),
        checked_at=now,
    )


def figures_of(report: PlanReport) -> dict[str, Any]:
    """Return the result in a report, as the columns of a verdict name it."""
    return {
        "solved": report.solved,
        "colour": report.colour,
        "moves": report.moves,
        "best": report.best,
        "excess": report.excess,
        "colour_choice": report.colour_choice,
        "distance_left": report.distance_left,
    }


def techniques_of(report: PlanReport) -> dict[str, Any] | None:
    """Return what is asked of many plans at once: ideas called for and answered, and the blame.

    None for a report by rules that knew no ideas.
    """
    if report.techniques is None:
        return None
    told = report.techniques.to_dict()
    return {name: told[name] for name in ("called", "answered", "blame")}


def kept_of(report: PlanReport) -> dict[str, Any]:
    """Return all that a verdict keeps of a report, by column."""
    return {
        **figures_of(report),
        "techniques": techniques_of(report),
        "report": report.to_dict(),
        "rules_version": report.version,
    }


def fail(*, plan_id: int, reason: str, only_out_of_attempts: bool = False) -> bool:
    """Mark a waiting plan as one that could not be checked. Returns whether it was."""
    waiting = Plan.objects.filter(pk=plan_id).waiting()
    if only_out_of_attempts:
        waiting = waiting.out_of_attempts()
    failed = waiting.update(status=PlanStatus.FAILED, failure_reason=reason[:200])
    return failed == 1


def sweep(*, now: datetime | None = None, limit: int = 500) -> int:
    """Ring again for plans that wait too long, oldest first. Returns how many were rung for.

    The stamp is moved by a conditional write, so that two sweeps at once ring
    once. A plan that is out of attempts is marked as failed. A stamp that lies
    ahead was made before the clock was set back: it is no reason to wait for it.
    """
    now = now or timezone.now()
    too_long = timedelta(seconds=settings.WAITING_TOO_LONG_SECONDS)
    late = Plan.objects.waiting().filter(
        Q(rung_at__lte=now - too_long) | Q(rung_at__gt=now + too_long)
    )
    rung = 0
    for plan_id, stamp, attempts in late.order_by("rung_at").values_list(
        "pk", "rung_at", "attempts"
    )[:limit]:
        if attempts >= MOST_ATTEMPTS:
            fail(plan_id=plan_id, reason=GAVE_UP, only_out_of_attempts=True)
            continue
        waiting = Plan.objects.filter(pk=plan_id).waiting()
        moved = waiting.filter(rung_at=stamp).update(rung_at=now)
        if moved != 1:
            continue
        if not dispatch.ring(plan_id):
            # Nobody heard it: the row stays late, so that the very next sweep tries again.
            waiting.filter(rung_at=now).update(rung_at=stamp)
            break
        rung += 1
    return rung
