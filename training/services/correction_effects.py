"""What follows from an entry of corrections: plans, scrambles, sets and what is summed of them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from solverworker.cube.first_hold import with_rotation
from training import correcting, dispatch, inspecting
from training.models import Corrected, Correction, Plan, Scramble, ScrambleSet, Verdict
from training.models.plans import PlanStatus
from training.services import correction_states, outlooks, practice, summaries


def figures(entry: Correction) -> dict[str, Any]:
    """What an entry of its kind changes, as it stands now."""
    if entry.plan_id is not None:
        plan = Plan.objects.select_related("verdict").get(pk=entry.plan_id)
        verdict: Verdict | None = getattr(plan, "verdict", None)
        excess = None if verdict is None else verdict.excess
        told = {"status": plan.status, "canonical": plan.canonical, "excess": excess}
        if entry.kind == Corrected.TIME_EXCUSED:
            told["out_of_time"] = plan.out_of_time
        return told
    if entry.scramble_id is not None:
        return {"void": Scramble.objects.values_list("void", flat=True).get(pk=entry.scramble_id)}
    of_set = ScrambleSet.objects.get(pk=entry.scramble_set_id)
    if entry.kind == Corrected.KEPT_OPEN:
        return {"closes_at": of_set.closes_at.isoformat()}
    return {"taken_out": of_set.taken_out}


def follow(entry: Correction, now: datetime) -> None:
    """Make the state of what an entry is about what the entries in force say.

    Call inside the transaction that makes the entry, with the set locked.
    """
    stands = _in_effect(entry)
    if entry.plan_id is not None:
        _follow_plan(Corrected(entry.kind), entry.plan_id, stands, now)
    elif entry.scramble_id is not None:
        void = correction_states.is_void(entry.scramble_id)
        Scramble.objects.filter(pk=entry.scramble_id).update(void=void)
        summaries.renew_sets(set_ids=[entry.scramble_set_id])
    elif entry.kind == Corrected.KEPT_OPEN:
        correction_states.close_as_said(entry.scramble_set_id)
        summaries.count_set_anew(set_id=entry.scramble_set_id)
    else:
        ScrambleSet.objects.filter(pk=entry.scramble_set_id).update(taken_out=bool(stands))
        summaries.count_set_anew(set_id=entry.scramble_set_id)
    _practise_anew(entry)


def _practise_anew(entry: Correction) -> None:
    """What was missed or answered in a plan that no longer counts, or counts again, follows too."""
    if entry.kind == Corrected.KEPT_OPEN:
        return
    plans = Plan.objects.filter(scramble__scramble_set=entry.scramble_set_id)
    if entry.plan_id is not None:
        plans = plans.filter(pk=entry.plan_id)
    elif entry.scramble_id is not None:
        plans = plans.filter(scramble=entry.scramble_id)
    practice.renew(memberships=set(plans.values_list("membership_id", flat=True)))


def _in_effect(entry: Correction) -> Sequence[Correction]:
    """The entries in force about the same thing and of the same kind: one, or none."""
    found = Correction.objects.in_effect().filter(
        kind=entry.kind, scramble_set=entry.scramble_set_id
    )
    return list(found.filter(scramble=entry.scramble_id, plan=entry.plan_id))


def _follow_plan(
    kind: Corrected, plan_id: int, stands: Sequence[Correction], now: datetime
) -> None:
    plan = Plan.objects.select_for_update().get(pk=plan_id)
    if kind == Corrected.TIME_EXCUSED:
        charged = inspecting.is_out_of_time(plan.scramble.scramble_set, plan.inspection)
        plan.out_of_time = charged and not stands
        plan.save(update_fields=["out_of_time"])
        summaries.renew(plan=plan)
        return
    if kind == Corrected.ROTATION:
        _check_with_rotation(plan, accepted=bool(stands))
    elif stands:
        plan.status = PlanStatus.WITHDRAWN
    else:
        plan.status = _status_of(plan)
    if plan.status == PlanStatus.WAITING:
        plan.attempts, plan.rung_at = 0, now
        dispatch.ring_after_commit(plan.pk)
    changed = ["status", "canonical", "attempts", "rung_at", "rules_version", "failure_reason"]
    plan.save(update_fields=changed)
    summaries.renew(plan=plan)


def _status_of(plan: Plan) -> PlanStatus:
    """How a plan stands that is not withdrawn."""
    if Verdict.objects.filter(plan=plan).exists():
        return PlanStatus.CHECKED
    return PlanStatus.FAILED if plan.failure_reason else PlanStatus.WAITING


def _check_with_rotation(plan: Plan, *, accepted: bool) -> None:
    """Have a plan checked anew with the rotation before it, or again without."""
    verdict = Verdict.objects.filter(plan=plan).first()
    if accepted:
        assert verdict is not None
        hint = correcting.forgotten_rotation(verdict)
        assert hint is not None
        plan.canonical = with_rotation(
            plan.scramble.text, plan.canonical, top=hint.top, front=hint.front
        )
    else:
        entry = Correction.objects.filter(plan=plan, kind=Corrected.ROTATION, undoes__isnull=True)
        plan.canonical = entry.order_by("pk")[0].before["canonical"]
    Verdict.objects.filter(plan=plan).delete()
    outlooks.forget(plan_ids=[plan.pk])
    plan.rules_version = None
    plan.failure_reason = ""
    if plan.status != PlanStatus.WITHDRAWN:
        plan.status = PlanStatus.WAITING
