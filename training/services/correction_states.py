"""What the entries of corrections say of plans, scrambles and sets: compared, and put right."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from training.models import Corrected, Correction, Plan, Scramble, ScrambleSet
from training.models.plans import PlanStatus


def differences_of_set(set_id: int) -> list[str]:
    """Where a set, its scrambles and plans stand otherwise than the entries in force say."""
    found = [f"correction {one.pk}, in force or not" for one in _wrongly_in_force(set_id)]
    plans, void, out = _due(set_id)
    withdrawn = Plan.objects.filter(
        scramble__scramble_set=set_id, status=PlanStatus.WITHDRAWN
    ).values_list("pk", flat=True)
    is_void = Scramble.objects.filter(scramble_set=set_id, void=True).values_list("pk", flat=True)
    is_out = ScrambleSet.objects.filter(pk=set_id, taken_out=True).exists()
    found += [f"correction of plan {pk}" for pk in sorted(plans ^ set(withdrawn))]
    # Told apart from sums of scrambles, which are told of by their numbers.
    found += [f"correction that takes out, {pk}" for pk in sorted(void ^ set(is_void))]
    closing = ScrambleSet.objects.values_list("closes_at", "kept_open_from").get(pk=set_id)
    wrong = is_out != out or closing != _due_closing(set_id)
    return found + ([f"correction of set {set_id}"] if wrong else [])


def renew(*, set_id: int) -> None:
    """Put that right. Summaries are another thing, to be renewed afterwards."""
    with transaction.atomic():
        for entry in _wrongly_in_force(set_id):
            Correction.objects.filter(pk=entry.pk).update(in_force=not entry.in_force)
        plans, void, out = _due(set_id)
        of_set = Plan.objects.filter(scramble__scramble_set=set_id)
        of_set.filter(pk__in=plans).update(status=PlanStatus.WITHDRAWN)
        wrongly = of_set.filter(status=PlanStatus.WITHDRAWN).exclude(pk__in=plans)
        wrongly.filter(verdict__isnull=False).update(status=PlanStatus.CHECKED)
        wrongly.exclude(failure_reason="").update(status=PlanStatus.FAILED)
        wrongly.update(status=PlanStatus.WAITING, attempts=0)
        scrambles = Scramble.objects.filter(scramble_set=set_id)
        scrambles.filter(pk__in=void).update(void=True)
        scrambles.exclude(pk__in=void).update(void=False)
        ScrambleSet.objects.filter(pk=set_id).update(taken_out=out)
        close_as_said(set_id)


def close_as_said(set_id: int) -> None:
    """A set closes as the entry in force says, else as before the first.

    The day and the week to which it belongs stay as they were.
    """
    closes_at, kept_open_from = _due_closing(set_id)
    ScrambleSet.objects.filter(pk=set_id).update(closes_at=closes_at, kept_open_from=kept_open_from)


def _due_closing(set_id: int) -> tuple[datetime, datetime | None]:
    """When a set closes, and when it was to, if that is another time."""
    rows = Correction.objects.filter(scramble_set=set_id, kind=Corrected.KEPT_OPEN)
    first = rows.filter(undoes__isnull=True).order_by("pk").first()
    if first is None:
        return ScrambleSet.objects.values_list("closes_at", flat=True).get(pk=set_id), None
    due = datetime.fromisoformat(first.before["closes_at"])
    stands = rows.in_effect().first()
    if stands is None:
        return due, None
    return datetime.fromisoformat(stands.after["closes_at"]), due


def _wrongly_in_force(set_id: int) -> list[Correction]:
    """Entries whose mark is not what the entries that undo them say, the newest first."""
    rows = Correction.objects.filter(scramble_set=set_id).select_related("undone_by")
    # From the end of each chain: only there a mark follows from nothing else.
    due: dict[int, bool] = {}
    wrong = []
    for one in rows.order_by("-pk"):
        undoing = getattr(one, "undone_by", None)
        due[one.pk] = undoing is None or not due[undoing.pk]
        if one.in_force != due[one.pk]:
            wrong.append(one)
    return wrong


def _due(set_id: int) -> tuple[set[int], set[int], bool]:
    """Plans withdrawn, scrambles void, and whether the set is out, by the entries in force."""
    plans: set[int] = set()
    void: set[int] = set()
    put_in: set[int] = set()
    out = False
    for one in Correction.objects.in_effect().filter(scramble_set=set_id):
        if one.kind == Corrected.PLAN_WITHDRAWN and one.plan_id is not None:
            plans.add(one.plan_id)
        elif one.kind == Corrected.SCRAMBLE_VOID and one.scramble_id is not None:
            void.add(one.scramble_id)
        elif one.kind == Corrected.SPARE and one.scramble_id is not None:
            put_in.add(one.scramble_id)
        out |= one.kind == Corrected.SET_OUT
    spares = Scramble.objects.filter(scramble_set=set_id, stands_for__isnull=False)
    return plans, void | set(spares.values_list("pk", flat=True)) - put_in, out


def is_void(scramble_id: int) -> bool:
    """Whether a scramble counts for nobody: taken out, or a spare that is not put in."""
    scramble = Scramble.objects.get(pk=scramble_id)
    return scramble_id in _due(scramble.scramble_set_id)[1]
