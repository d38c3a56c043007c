"""Handing in a plan, and what a coach may do with one."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from solverworker.cube import notation
from training import dispatch, policies, rights, visibility
from training.models import Membership, Plan, PlanKind, PlanStatus, Scramble, Spelling
from training.refusals import (
    EmptyPlan,
    InvalidEntry,
    LowerCasePlan,
    PlanTooLong,
    UnreadablePlan,
)
from training.services import summaries

MOST_CHARACTERS = 2000
"""A plan of 80 tokens with a comment on each fits; a novel does not."""


def read_plan(written: str, *, strict: bool, lower_case_meant: bool = False) -> str:
    """The plan in canonical form; refuses what cannot be read.

    ``lower_case_meant``: the member was asked and wants outer blocks where all
    is in lower case. Raises UnreadablePlan, PlanTooLong or LowerCasePlan, each
    with the words to show.
    """
    if len(written) > MOST_CHARACTERS:
        raise PlanTooLong(
            f"This plan has {len(written):,} characters; {MOST_CHARACTERS:,} is the most. "
            "Write only the moves.",
            field="plan",
            kind="too_long",
            token="",
            position=MOST_CHARACTERS,
        )
    if "\0" in written:
        # No database keeps it, not even inside a comment.
        at = written.index("\0")
        raise UnreadablePlan(
            f"There is an invisible character at place {at + 1}. Type the plan afresh.",
            field="plan",
            kind="unknown",
            token="",
            position=at,
        )
    try:
        tokens = notation.parse(written, strict=strict)
    except notation.NotationError as error:
        refusal = PlanTooLong if error.kind == "too_long" else UnreadablePlan
        raise refusal(
            error.message,
            field="plan",
            kind=error.kind,
            token=error.token,
            position=error.position,
        ) from None
    face_turns = notation.all_lower_case(written)
    if face_turns is not None and not lower_case_meant:
        raise LowerCasePlan(
            f"All moves are in lower case, which turns two layers at once. Did you mean "
            f"{face_turns}? Hand in the one you meant.",
            field="plan",
            as_face_turns=face_turns,
        )
    return notation.canonical(tokens)


@dataclass(frozen=True, slots=True)
class HandedIn:
    """The plan that counts; ``is_new`` is False when the same key had brought it before."""

    plan: Plan
    is_new: bool


def hand_in(
    *,
    membership: Membership,
    scramble: Scramble,
    written: str,
    key: uuid.UUID,
    no_plan: bool = False,
    cross_is_solved: bool = False,
    lower_case_meant: bool = False,
    now: datetime | None = None,
) -> HandedIn:
    """Store a member's one final plan for a scramble, and ring for it to be checked.

    The row in status *waiting* is the queue entry. Asking again with the same
    key and the same plan gives the first answer again, also after the set has
    closed. ``written`` is kept as typed; an empty one needs one of the two
    choices ``no_plan`` and ``cross_is_solved``.

    Raises a :class:`~training.refusals.Refusal`: NotAllowed for a
    membership that does not hand in here, SetClosed, PlanIsFinal, KeyReused,
    EmptyPlan, UnreadablePlan, PlanTooLong, LowerCasePlan. Nothing is stored
    then. A set that has not opened, or another club's, raises
    :class:`~training.visibility.Sealed`.
    """
    now = now or timezone.now()
    scramble_set = scramble.scramble_set
    visibility.require_set(membership, scramble_set, now)
    rights.require_enter(membership)
    earlier = _earlier(membership, scramble, key)
    if earlier is not None:
        policies.require_same_entry(earlier, scramble, key, written, no_plan)
        return HandedIn(earlier, is_new=False)
    policies.require_open(scramble_set, now)
    canonical = read_entry(
        written, no_plan, cross_is_solved, lower_case_meant, scramble_set.spelling
    )
    try:
        with transaction.atomic():
            plan = Plan.objects.create(
                scramble=scramble,
                membership=membership,
                kind=PlanKind.NO_PLAN if no_plan else PlanKind.MOVES,
                written="" if no_plan else written,
                canonical=canonical,
                key=key,
                handed_in_at=now,
                rung_at=now,
            )
            dispatch.ring_after_commit(plan.pk)
    except IntegrityError:
        # Somebody else's request with the same key or scramble came in between: theirs counts.
        earlier = _earlier(membership, scramble, key)
        if earlier is None:
            raise
        policies.require_same_entry(earlier, scramble, key, written, no_plan)
        return HandedIn(earlier, is_new=False)
    return HandedIn(plan, is_new=True)


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


def read_entry(
    written: str, no_plan: bool, cross_is_solved: bool, lower_case_meant: bool, spelling: str
) -> str:
    """The canonical form of an entry with its two choices for the empty plan.

    Raises the refusals of :func:`read_plan`, EmptyPlan, and InvalidEntry for a contradiction.
    """
    if no_plan and cross_is_solved:
        raise InvalidEntry(
            "Choose one: the cross is already solved, or you have no plan.", field="plan"
        )
    if no_plan:
        if written.strip():
            raise InvalidEntry(
                "There are moves in the plan. Hand them in, or clear them to say that you have "
                "no plan.",
                field="plan",
            )
        return ""
    canonical = read_plan(
        written, strict=spelling == Spelling.STRICT, lower_case_meant=lower_case_meant
    )
    if canonical == "" and not cross_is_solved:
        raise EmptyPlan(
            "There are no moves here. Write your plan, or say which it is: the cross is already "
            "solved, or you have no plan.",
            field="plan",
        )
    if canonical and cross_is_solved:
        raise InvalidEntry(
            "There are moves in the plan. Hand them in, or clear them to say that the cross is "
            "already solved.",
            field="plan",
        )
    return canonical


def withdraw_plan(*, plan: Plan, by: Membership, reason: str, now: datetime | None = None) -> Plan:
    """Take a plan out of the table, with a reason that the member reads.

    Raises NotAllowed for anybody but a coach of the club, InvalidEntry without a
    reason, NoLongerPossible when it is withdrawn already.
    """
    rights.require_coach(by, club_id=plan.membership.club_id)
    if not reason.strip():
        raise InvalidEntry(_("Say why the plan is withdrawn."), field="reason")
    with transaction.atomic():
        plan.refresh_from_db(from_queryset=Plan.objects.select_for_update())
        policies.require_standing(plan)
        plan.status = PlanStatus.WITHDRAWN
        plan.withdrawn_at = now or timezone.now()
        plan.withdrawn_by = by.person
        plan.withdrawn_reason = reason.strip()[:200]
        plan.save(update_fields=["status", "withdrawn_at", "withdrawn_by", "withdrawn_reason"])
        summaries.renew(plan=plan)
    return plan


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
