"""Every verdict and summary recomputed from the plans, and what differs put right when asked.

Goes through all checked plans in their order and then through all sets, a batch at a time; where
it is stands in the database, so that a run broken off goes on where it stopped, here or in a
worker. What was handed in is never changed: what cannot be derived from it is only told.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from solverworker.outlook import OUTLOOK_VERSION
from solverworker.report import SOLVER_VERSION, PlanReport
from training import inspecting
from training.models import (
    Derived,
    Difference,
    Plan,
    PlanStatus,
    ScrambleSet,
    Verdict,
    Verification,
)
from training.selectors.corrections import is_excused
from training.services import correction_states, outlooks, summaries
from training.services.verdicts import figures_of, kept_of, verdict_of

Checker = Callable[[str, str, Sequence[str]], PlanReport]
"""Checks a plan: scramble, plan, allowed colours."""

PLANS_A_BATCH = 200
SETS_A_BATCH = 20


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a run is: plans and sets looked at, of how many in all."""

    plans: int
    of_plans: int
    sets: int
    of_sets: int


def current() -> Verification:
    """The run that is not finished, or a new one. One by older rules is given up."""
    Verification.objects.filter(ended_at=None).exclude(rules_version=SOLVER_VERSION).delete()
    going = Verification.objects.filter(ended_at=None).order_by("-pk").first()
    return going or Verification.objects.create(rules_version=SOLVER_VERSION)


def newest() -> Verification | None:
    """The run that was begun last, finished or not."""
    return Verification.objects.order_by("-pk").first()


def begin_again() -> Verification:
    """A new run from the first plan on, whatever was begun."""
    Verification.objects.filter(ended_at=None).delete()
    return current()


def progress(run: Verification) -> Progress:
    """Count how far a run is."""
    return Progress(run.plans, _to_look_at().count(), run.sets, ScrambleSet.objects.count())


def work(
    *, run: Verification, check: Checker, make: outlooks.Maker, now: datetime | None = None
) -> int:
    """Look at the next plans, or else the next sets; 0 when all have been looked at.

    The last call marks the run as ended.
    """
    found = _next_plans(run, check, make) or _next_sets(run)
    if not found and run.ended_at is None:
        run.ended_at = now or timezone.now()
        run.save(update_fields=["ended_at"])
    return found


def repair(
    *, run: Verification, check: Checker, make: outlooks.Maker, now: datetime | None = None
) -> int:
    """Derive again what differed in a run, set by set. Returns how much is right now.

    Each set changes at once, its summaries with it. What cannot be derived from the plans stays
    as it is and is no repair.
    """
    now = now or timezone.now()
    open_ones = run.differences.filter(repaired_at=None)
    repaired = 0
    for set_id in sorted(set(open_ones.values_list("of_set", flat=True))):
        with transaction.atomic():
            of_set = list(open_ones.filter(of_set=set_id))
            plans = {one.of_plan for one in of_set if one.of_plan is not None}
            right = {plan_id: _derive_again(plan_id, check, make, now) for plan_id in sorted(plans)}
            if ScrambleSet.objects.filter(pk=set_id).exists():
                correction_states.renew(set_id=set_id)
                summaries.renew_sets(set_ids=[set_id])
            done = [one.pk for one in of_set if one.of_plan is None or right[one.of_plan]]
            repaired += Difference.objects.filter(pk__in=done).update(repaired_at=now)
    return repaired


# Plans ---------------------------------------------------------------------------


def _to_look_at() -> Any:
    """Plans that have a verdict or should have one; of former members nothing is left to check."""
    return Plan.objects.with_words().filter(Q(status=PlanStatus.CHECKED) | Q(verdict__isnull=False))


def _next_plans(run: Verification, check: Checker, make: outlooks.Maker) -> int:
    plans = list(
        _to_look_at()
        .filter(pk__gt=run.plans_through)
        .select_related("verdict", "outlook", "inspection", "scramble__scramble_set")
        .order_by("pk")[:PLANS_A_BATCH]
    )
    if not plans:
        return 0
    found: list[Difference] = []
    older = run.older
    for plan in plans:
        kind = _of_plan(plan, check, make)
        if kind == _OLDER:
            older += 1
        elif kind is not None:
            found.append(_difference(run, plan, kind))
    _note(run, found, plans_through=plans[-1].pk, plans=run.plans + len(plans), older=older)
    return len(plans)


_OLDER = "older"
_NO_REPORT = (TypeError, ValueError, KeyError, AttributeError, IndexError)
"""What reading a report raises that is none."""


def _of_plan(plan: Plan, check: Checker, make: outlooks.Maker) -> str | None:
    """What differs, ``_OLDER`` for a verdict that is not compared, None when all agrees."""
    verdict = getattr(plan, "verdict", None)
    if verdict is None:
        return Derived.NO_VERDICT
    if plan.status in (PlanStatus.WAITING, PlanStatus.FAILED):
        return Derived.STRAY_VERDICT
    if verdict.rules_version < SOLVER_VERSION:
        return _OLDER
    report = _report(plan, check)
    if report is None or verdict.rules_version != report.version:
        return Derived.VERDICT
    if any(getattr(verdict, name) != value for name, value in figures_of(report).items()):
        return Derived.VERDICT
    if verdict.techniques != kept_of(report)["techniques"] or _stored(verdict) != _plain(report):
        return Derived.VERDICT
    if plan.rules_version != verdict.rules_version:
        return Derived.RULES
    if plan.out_of_time != _out_of_time(plan):
        return Derived.TIME
    return None if _outlook_agrees(plan, make) else Derived.OUTLOOK


def _out_of_time(plan: Plan) -> bool:
    charged = inspecting.is_out_of_time(plan.scramble.scramble_set, plan.inspection)
    return charged and not is_excused(plan)


def _outlook_agrees(plan: Plan, make: outlooks.Maker) -> bool:
    """Whether what a plan leaves is as the rules say, or waits to be made."""
    row = getattr(plan, "outlook", None)
    if row is None or row.version > OUTLOOK_VERSION:
        return False
    if row.version < OUTLOOK_VERSION:
        return True
    facts = outlooks.facts_of(plan, make)
    return bool(row.facts == json.loads(json.dumps(facts)))


def _report(plan: Plan, check: Checker) -> PlanReport | None:
    """What the rules say; None of a plan that they cannot read."""
    try:
        return check(plan.scramble.text, plan.canonical, plan.scramble.scramble_set.colours)
    except ValueError:
        return None


def _stored(verdict: Verdict) -> Any:
    """A report as it was read back; None for one that is none."""
    try:
        return _plain(PlanReport.from_dict(verdict.report))
    except _NO_REPORT:
        return None


def _plain(report: PlanReport) -> Any:
    return json.loads(json.dumps(report.to_dict()))


def _difference(run: Verification, plan: Plan, kind: str) -> Difference:
    return Difference(
        verification=run,
        kind=kind,
        of_plan=plan.pk,
        of_set=plan.scramble.scramble_set_id,
        about=f"set {plan.scramble.scramble_set_id}, scramble {plan.scramble.number}, "
        f"plan {plan.pk}",
    )


def _derive_again(plan_id: int, check: Checker, make: outlooks.Maker, now: datetime) -> bool:
    """Store what the rules say of a plan. Returns whether its verdict is right now.

    What it leaves waits then, as after every verdict.
    """
    found = Plan.objects.filter(pk=plan_id).select_for_update().first()
    if found is None:
        return True
    plan = (
        _to_look_at()
        .select_related("verdict", "outlook", "inspection", "scramble__scramble_set")
        .get(pk=plan_id)
    )
    kind = _of_plan(plan, check, make)
    if kind in (None, _OLDER, Derived.RULES):
        return kind != Derived.RULES
    of_plan = Verdict.objects.filter(plan=plan)
    if kind == Derived.OUTLOOK:
        outlooks.await_anew(plan_ids=[plan_id])
        return True
    if kind == Derived.TIME:
        Plan.objects.filter(pk=plan_id).update(out_of_time=_out_of_time(plan))
        return True
    if kind == Derived.STRAY_VERDICT:
        of_plan.delete()
        outlooks.forget(plan_ids=[plan_id])
        return True
    report = _report(plan, check)
    if report is None:
        return False
    if kind == Derived.NO_VERDICT:
        verdict_of(plan_id, report, now).save(force_insert=True)
    else:
        of_plan.update(**kept_of(report))
    outlooks.await_anew(plan_ids=[plan_id])
    return bool(plan.rules_version == report.version)


# Sets ----------------------------------------------------------------------------


def _next_sets(run: Verification) -> int:
    ids = list(
        ScrambleSet.objects.filter(pk__gt=run.sets_through)
        .order_by("pk")
        .values_list("pk", flat=True)[:SETS_A_BATCH]
    )
    if not ids:
        return 0
    found = [
        Difference(
            verification=run,
            kind=_kind(about),
            of_set=set_id,
            about=about,
        )
        for set_id in ids
        for about in _of_set(set_id)
    ]
    _note(run, found, sets_through=ids[-1], sets=run.sets + len(ids))
    return len(ids)


def _kind(about: str) -> Derived:
    if about.startswith("correction"):
        return Derived.CORRECTION
    return Derived.SCRAMBLE if "scramble" in about else Derived.SUMMARY


def _differences(set_id: int) -> list[str]:
    return correction_states.differences_of_set(set_id) + summaries.differences_of_set(set_id)


def _of_set(set_id: int) -> list[str]:
    """What differs at two looks: between its two questions one look may miss a fresh verdict."""
    try:
        found = _differences(set_id)
    except _NO_REPORT:
        return [f"set {set_id}, which holds a report that cannot be read"]
    again = set(_differences(set_id)) if found else set()
    return [about for about in found if about in again]


def _note(run: Verification, found: list[Difference], **through: int) -> None:
    """Store how far a run is, unless somebody else has done the same batch meanwhile."""
    with transaction.atomic():
        moved = Verification.objects.filter(
            pk=run.pk, plans_through=run.plans_through, sets_through=run.sets_through
        ).update(**through)
        if moved:
            Difference.objects.bulk_create(found)
    run.refresh_from_db()
