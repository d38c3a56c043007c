"""Handing in a plan, and having one checked again."""

from __future__ import annotations

import uuid
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils import timezone

from training import dispatch, inspecting, policies, rights, visibility, windows
from training.entry import Entry
from training.models import Inspection, Membership, Plan, PlanKind, PlanStatus, Scramble
from training.refusals import Refusal


@dataclass(frozen=True, slots=True)
class HandedIn:
    """The plan that counts; ``is_new`` is False when the same key had brought it before."""

    plan: Plan
    is_new: bool


def hand_in(
    *,
    membership: Membership,
    scramble: Scramble,
    entry: Entry,
    key: uuid.UUID,
    inspection: Inspection | None = None,
    now: datetime | None = None,
) -> HandedIn:
    """Store a member's one final plan for a scramble, and ring for it to be checked.

    The row in status *waiting* is the queue entry. Asking again with the same
    key and the same plan gives the first answer again, also after the set has
    closed. What was written is kept as typed. ``inspection``: how the member inspected the
    scramble, as the server stamped it; without one the plan is untimed.

    Raises a :class:`~training.refusals.Refusal`: NotAllowed for a
    membership that does not hand in here, SetClosed, PlanIsFinal, KeyReused,
    EmptyPlan, UnreadablePlan, PlanTooLong, LowerCasePlan, InvalidEntry. Nothing is stored
    then. A set that has not opened, or another club's, raises
    :class:`~training.visibility.Sealed`.
    """
    now = now or timezone.now()
    scramble_set = scramble.scramble_set
    visibility.require_set(membership, scramble_set, now)
    rights.require_enter(membership)
    try:
        windows.require_still_plan(membership, scramble_set, now)
        policies.require_counting_scramble(scramble)
        rules = scramble_set.rules
        read = entry.read(
            strict=rules.strict, freely_from=scramble.text if rules.held_freely else None
        )
        with _whole():
            plan = Plan.objects.create(
                scramble=scramble,
                membership=membership,
                kind=PlanKind.NO_PLAN if entry.no_plan else PlanKind.MOVES,
                written=entry.kept,
                canonical=read.canonical,
                pair_written=entry.pair_kept,
                pair_canonical=read.pair_canonical,
                held=entry.held_kept,
                inspection=inspection,
                out_of_time=inspecting.is_out_of_time(scramble_set, inspection),
                key=key,
                handed_in_at=now,
                rung_at=now,
            )
            dispatch.ring_after_commit(plan.pk)
    except (IntegrityError, Refusal):
        # What came in before is answered first, whatever else is wrong now. It is looked for only
        # here: whether there is anything the constraints of the table say, race or not.
        earlier = _earlier(membership, scramble, key)
        if earlier is None:
            raise
        policies.require_same_entry(earlier, scramble, key, entry)
        return HandedIn(earlier, is_new=False)
    return HandedIn(plan, is_new=True)


def _whole() -> AbstractContextManager[object]:
    """For one statement, which is whole by itself; inside a transaction it must not break that."""
    in_another = transaction.get_connection().in_atomic_block
    return transaction.atomic() if in_another else nullcontext()


def _earlier(membership: Membership, scramble: Scramble, key: uuid.UUID) -> Plan | None:
    """The plan that already stands under this key or, failing that, for this scramble."""
    of_key = Plan.objects.filter(membership=membership, key=key).select_related("scramble").first()
    if of_key is not None:
        return of_key
    return (
        Plan.objects.filter(membership=membership, scramble=scramble)
        .select_related("scramble")
        .first()
    )


def check_again(*, plan: Plan, by: Membership, now: datetime | None = None) -> Plan:
    """Put a plan that could not be checked back into the queue.

    Raises NotAllowed for anybody but a coach of the club, NoLongerPossible for
    a plan that was not given up on.
    """
    rights.require_coach(by, club_id=plan.membership.club_id)
    with transaction.atomic():
        plan.refresh_from_db(from_queryset=Plan.objects.select_for_update())
        policies.require_failed(plan)
        plan.status = PlanStatus.WAITING
        plan.attempts = 0
        plan.failure_reason = ""
        plan.rung_at = now or timezone.now()
        plan.save(update_fields=["status", "attempts", "failure_reason", "rung_at"])
        dispatch.ring_after_commit(plan.pk)
    return plan
