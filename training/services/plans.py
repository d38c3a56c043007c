"""Handing in a plan, and what a coach may do with one."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils import timezone

from solverworker.cube import notation
from training import dispatch, visibility
from training.models import Membership, Plan, PlanKind, PlanStatus, Scramble, Spelling
from training.services import summaries
from training.services.errors import (
    EmptyPlan,
    InvalidEntry,
    KeyReused,
    LowerCasePlan,
    NotAllowed,
    PlanIsFinal,
    PlanTooLong,
    SetClosed,
    UnreadablePlan,
)
from training.services.rights import require_coach

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

    Raises a :class:`~training.services.errors.Refusal`: NotAllowed for a
    membership that does not hand in here, SetClosed, PlanIsFinal, KeyReused,
    EmptyPlan, UnreadablePlan, PlanTooLong, LowerCasePlan. Nothing is stored
    then. A set that has not opened, or another club's, raises
    :class:`~training.visibility.Sealed`.
    """
    now = now or timezone.now()
    scramble_set = scramble.scramble_set
    if not visibility.sees_set(membership, scramble_set, now):
        raise visibility.Sealed
    if not visibility.is_open_account(membership):
        raise NotAllowed("This account is not open. A coach can open it.")
    earlier = _earlier(membership, scramble, key)
    if earlier is not None:
        return HandedIn(_same_or_refuse(earlier, scramble, key, written, no_plan), is_new=False)
    if not visibility.is_open(scramble_set, now):
        raise SetClosed(
            "This set has closed, so the plan was not handed in. Your coach can still see it if "
            "you copy it down.",
            field="plan",
        )
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
        return HandedIn(_same_or_refuse(earlier, scramble, key, written, no_plan), is_new=False)
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


def _same_or_refuse(
    earlier: Plan, scramble: Scramble, key: uuid.UUID, written: str, no_plan: bool
) -> Plan:
    same_words = earlier.written == ("" if no_plan else written) and (
        (earlier.kind == PlanKind.NO_PLAN) == no_plan
    )
    if earlier.key == key and earlier.scramble_id == scramble.pk and same_words:
        return earlier
    shown = plan_in_words(earlier)
    if earlier.key == key:
        raise KeyReused(
            f"This page was already used to hand in {shown} for scramble "
            f"{earlier.scramble.number}. That one counts. Open the scramble again to hand in "
            "for another.",
            field="plan",
            plan=earlier,
        )
    raise PlanIsFinal(
        f"Your plan for this scramble is in and is final: {shown}. That one counts.",
        field="plan",
        plan=earlier,
    )


def plan_in_words(plan: Plan) -> str:
    """The plan as a person would name it in a sentence."""
    if plan.kind == PlanKind.NO_PLAN:
        return "“no plan”"
    return plan.canonical or "“the cross is already solved”"


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

    Raises NotAllowed for anybody but a coach of the club, InvalidEntry without a reason.
    """
    require_coach(by, club_id=plan.membership.club_id)
    if not reason.strip():
        raise InvalidEntry("Say why the plan is withdrawn.", field="reason")
    with transaction.atomic():
        Plan.objects.filter(pk=plan.pk).exclude(status=PlanStatus.WITHDRAWN).update(
            status=PlanStatus.WITHDRAWN,
            withdrawn_at=now or timezone.now(),
            withdrawn_by=by.person,
            withdrawn_reason=reason.strip()[:200],
        )
        summaries.renew(plan=plan)
    plan.refresh_from_db()
    return plan


def check_again(*, plan: Plan, by: Membership, now: datetime | None = None) -> Plan:
    """Put a plan that could not be checked back into the queue.

    Raises NotAllowed for anybody but a coach of the club.
    """
    require_coach(by, club_id=plan.membership.club_id)
    with transaction.atomic():
        put_back = Plan.objects.filter(pk=plan.pk, status=PlanStatus.FAILED).update(
            status=PlanStatus.WAITING,
            attempts=0,
            failure_reason="",
            rung_at=now or timezone.now(),
        )
        if put_back:
            dispatch.ring_after_commit(plan.pk)
    plan.refresh_from_db()
    return plan
