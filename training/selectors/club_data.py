"""Everything that one club keeps of somebody, as one value.

Read by the person, or by a coach for a guardian. What is sealed for whoever reads stays sealed:
the rest of a plan is there, and its verdict follows when answers open.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import date, datetime
from typing import Any

from django.db.models import Q

from training import visibility
from training.agreement import TEXTS
from training.models import (
    Correction,
    CountingPeriod,
    Deed,
    Invite,
    Kind,
    Membership,
    OwnWindow,
    Plan,
    PracticeDue,
    Scramble,
    SetSummary,
    TechniqueCount,
)
from training.selectors.calendar_events import address_made_at
from training.selectors.corrections import reasons_of
from training.selectors.kept_in_club import (
    ClubData,
    KeptConsent,
    KeptCorrection,
    KeptCount,
    KeptDeed,
    KeptDue,
    KeptGroupTime,
    KeptInvite,
    KeptLesson,
    KeptPeriod,
    KeptPlan,
    KeptSum,
)
from training.selectors.kept_of_attempts import kept_of_attempts
from training.selectors.kept_of_challenges import kept_of_challenges
from training.visibility import OwnPlans


def data_in_club(viewer: Membership, membership: Membership, now: datetime) -> ClubData:
    """All that the club of a membership keeps of it, as ``viewer`` may read it.

    A number of queries that grows with the sets in which there are plans, not with the plans.
    """
    seen, left_out = _plans(viewer, membership, now)
    reasons = reasons_of(one for one, _sealed in seen)
    # Sums tell of the answers that they are sums of, so both are shown together.
    open_sets = {one.scramble.scramble_set_id for one, sealed in seen if not sealed} - {
        one.scramble.scramble_set_id for one, sealed in seen if sealed
    }
    of_member: dict[str, Any] = {"membership": membership, "scramble_set__in": open_sets}
    sums = SetSummary.objects.filter(**of_member).select_related("scramble_set")
    counts = TechniqueCount.objects.filter(**of_member).select_related("scramble_set")
    person = membership.person_id
    group_times = group_times_of(membership)
    return ClubData(
        club=membership.club.name,
        slug=membership.club.slug,
        display_name=membership.display_name,
        role=membership.role,
        competes=membership.competes,
        standing=membership.standing,
        joined_at=membership.joined_at,
        under_18=membership.under_18,
        consent=consent_of(membership),
        counting_periods=counting_periods_of(membership),
        groups=tuple(dict.fromkeys(one.group for one in group_times)),
        group_times=group_times,
        plans=tuple(_plan(one, sealed, reasons.get(one.pk, "")) for one, sealed in seen),
        plans_not_yours_yet=left_out,
        sums=tuple(_sum(one) for one in sums.order_by("scramble_set__day", "pk")),
        ideas=tuple(
            KeptCount(one.scramble_set.day, one.code, one.called, one.answered, one.lost)
            for one in counts.order_by("scramble_set__day", "pk")
        ),
        practice_due=tuple(
            KeptDue(one.code, one.step, one.due_on, one.last)
            for one in PracticeDue.objects.filter(membership=membership)
        ),
        practice_sets=_days(membership, Kind.PRACTICE),
        own_homework=_days(membership, Kind.HOMEWORK),
        own_windows=tuple(
            OwnWindow.objects.filter(membership=membership)
            .order_by("pk")
            .values_list("correction__scramble_set__day", flat=True)
        ),
        afterwards=_days(membership, Kind.AFTERWARDS),
        lessons=tuple(
            KeptLesson(one.day, one.code) for one in membership.taught_lessons.order_by("day", "pk")
        ),
        log=_log(membership),
        invites_made=tuple(
            KeptInvite(
                one.created_at,
                one.expires_at,
                one.role,
                one.places,
                one.taken,
                one.withdrawn_at,
            )
            for one in Invite.objects.filter(made_by=person, club=membership.club)
        ),
        calendar_address_made_at=address_made_at(membership),
        consents_noted=tuple(
            one.consent_noted_at
            for one in Membership.objects.filter(consent_noted_by=person, club=membership.club)
            if one.consent_noted_at is not None
        ),
        corrections=_corrections(membership),
        challenges=kept_of_challenges(membership),
        attempts=kept_of_attempts(membership),
    )


def _days(membership: Membership, kind: Kind) -> tuple[date, ...]:
    own = membership.own_sets.filter(kind=kind).order_by("day", "pk")
    return tuple(own.values_list("day", flat=True))


def group_times_of(membership: Membership) -> tuple[KeptGroupTime, ...]:
    """Over which times somebody belongs to which group, the first at the head. One query."""
    return tuple(
        KeptGroupTime(one.group.name, one.begins_at, one.ends_at)
        for one in membership.group_times.select_related("group")
    )


def counting_periods_of(membership: Membership) -> tuple[KeptPeriod, ...]:
    """Over which times tables count somebody, the first at the head. One query."""
    return tuple(
        KeptPeriod(one.begins_at, one.ends_at, one.left_at, one.estimated)
        for one in CountingPeriod.objects.filter(membership=membership)
    )


def consent_of(membership: Membership) -> KeptConsent | None:
    """What is noted of a guardian's consent; None where nothing ever was."""
    if membership.consent_noted_at is None:
        return None
    by = Membership.objects.filter(
        club=membership.club_id, person=membership.consent_noted_by_id
    ).first()
    number = membership.consent_text
    return KeptConsent(
        noted_at=membership.consent_noted_at,
        noted_by=by.display_name if by is not None else "",
        note=membership.consent_note,
        text_number=number,
        text=str(TEXTS[number]) if number is not None else "",
        withdrawn_at=membership.consent_withdrawn_at,
    )


def _plans(
    viewer: Membership, membership: Membership, now: datetime
) -> tuple[list[tuple[Plan, bool]], int]:
    """Plans with whether their verdict is sealed for the viewer, and how many are left out."""
    plans = list(
        Plan.objects.filter(membership=membership)
        .select_related("scramble__scramble_set", "verdict", "outlook")
        .order_by("handed_in_at", "pk")
    )
    sets = {one.scramble.scramble_set_id: one.scramble.scramble_set for one in plans}
    counting: dict[int, set[int]] = defaultdict(set)
    for set_id, number in Scramble.objects.filter(scramble_set__in=sets, void=False).values_list(
        "scramble_set_id", "number"
    ):
        counting[set_id].add(number)
    numbers: dict[int, set[int]] = defaultdict(set)
    own = Plan.objects.filter(membership=viewer, scramble__scramble_set__in=sets)
    for set_id, number in own.values_list("scramble__scramble_set_id", "scramble__number"):
        numbers[set_id].add(number)
    seen: list[tuple[Plan, bool]] = []
    for plan in plans:
        its_set = plan.scramble.scramble_set
        viewers = OwnPlans(frozenset(numbers[its_set.pk]), frozenset(counting[its_set.pk]))
        if viewer.pk == membership.pk:
            answers = visibility.sees_answers(viewer, its_set, plan.scramble.number, viewers, now)
            seen.append((plan, not answers and hasattr(plan, "verdict")))
        elif its_set.for_member_id is not None or visibility.sees_others_plans(
            viewer, its_set, viewers, now
        ):
            seen.append((plan, False))
    return seen, len(plans) - len(seen)


def _corrections(membership: Membership) -> tuple[KeptCorrection, ...]:
    rows = Correction.objects.filter(Q(by=membership) | Q(plan__membership=membership))
    return tuple(
        KeptCorrection(
            done_at=one.done_at,
            kind=one.kind,
            undoes=one.undoes_id is not None,
            day=one.scramble_set.day,
            number=one.scramble.number if one.scramble is not None else None,
            reason=one.reason,
            made=one.by_id == membership.pk,
        )
        for one in rows.select_related("scramble", "scramble_set").order_by("done_at", "pk")
    )


def _plan(plan: Plan, sealed: bool, reason: str) -> KeptPlan:
    verdict = getattr(plan, "verdict", None)
    outlook = getattr(plan, "outlook", None)
    return KeptPlan(
        day=plan.scramble.scramble_set.day,
        kind_of_set=plan.scramble.scramble_set.kind,
        drawn=plan.scramble.scramble_set.drawn,
        number=plan.scramble.number,
        scramble=plan.scramble.text,
        answer=plan.kind,
        written=plan.written,
        canonical=plan.canonical,
        pair_written=plan.pair_written,
        pair_canonical=plan.pair_canonical,
        held=plan.held,
        out_of_time=plan.out_of_time,
        handed_in_at=plan.handed_in_at,
        status=plan.status,
        failure_reason=plan.failure_reason,
        withdrawn_reason=reason,
        checked_at=verdict.checked_at if verdict is not None else None,
        sealed=sealed,
        report=verdict.report if verdict is not None and not sealed else None,
        outlook=outlook.facts if outlook is not None and not sealed else None,
    )


def _sum(one: SetSummary) -> KeptSum:
    figures = {name: getattr(one, name) for name in KeptSum.__slots__ if name != "day"}
    return KeptSum(day=one.scramble_set.day, **figures)


def _log(membership: Membership) -> tuple[KeptDeed, ...]:
    lines = Deed.objects.filter(Q(by=membership) | Q(whom=membership))
    return tuple(
        KeptDeed(
            done_at=one.done_at,
            what=one.what,
            by=one.by.display_name if one.by is not None else "",
            whom=one.whom.display_name if one.whom_id == membership.pk else "",
            detail=one.detail,
        )
        for one in lines.select_related("by", "whom").order_by("done_at", "pk")
    )
