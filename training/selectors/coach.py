"""What a coach sees of a day: who handed in, who did not, what was lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Q, QuerySet, Sum

from training import clock, policies, visibility
from training.models import (
    Club,
    Membership,
    Plan,
    PlanStatus,
    Scramble,
    ScrambleSet,
    TechniqueCount,
)
from training.selectors.corrections import reasons_of
from training.selectors.counting import Belonging, people_of
from training.selectors.plan_rows import bare_plans_of, plans_with_words_in, scrambles_in
from training.selectors.plans import PlanView, own_plans_of, plan_view
from training.selectors.quiet import Quiet, quiet_members
from training.selectors.reviewed_sets import club_set
from training.selectors.set_heads import SetHead, head_of, load_named
from training.selectors.week_costs import WeekCost, week_cost
from training.visibility import Sealed

NEW_FOR = timedelta(days=7)
"""How long a coach's day tells that somebody is new."""


@dataclass(frozen=True, slots=True)
class MemberDay:
    """One member's part of a set. ``excess``: moves over the best so far, over solved plans.

    ``out_of_time``: solved plans that count 8, because the set is timed only.
    ``plans`` is empty while the coach may not read them.
    """

    membership_id: int
    member: str
    handed_in: int
    last_at: datetime | None
    excess: int | None
    not_solved: int | None
    out_of_time: int | None
    plans: tuple[PlanView, ...]


@dataclass(frozen=True, slots=True)
class CoachSet:
    """A set as a coach sees it: members with plans, members without, and whether plans are open."""

    head: SetHead
    scrambles: tuple[str, ...]
    plans_open: bool
    handed_in: tuple[MemberDay, ...]
    missing: tuple[MemberDay, ...]
    waiting: int
    failed: int

    @property
    def expected(self) -> int:
        return len(self.handed_in) + len(self.missing)


@dataclass(frozen=True, slots=True)
class CoachPlan:
    """A plan with the set and the scramble that it is for."""

    head: SetHead
    scramble: str
    plan: PlanView


@dataclass(frozen=True, slots=True)
class Newcomer:
    """Somebody new in the club. ``waits``: came at ``since`` and is still to be let in by a coach.

    Else a member since then.
    """

    membership_id: int
    member: str
    since: datetime
    waits: bool


@dataclass(frozen=True, slots=True)
class MemberLoss:
    """Moves that a member's plans lost over some days."""

    membership_id: int
    member: str
    plans: int
    solved: int
    lost: int
    exact: int


@dataclass(frozen=True, slots=True)
class CauseLoss:
    """Moves lost to one cause."""

    code: str
    lost: float


@dataclass(frozen=True, slots=True)
class Overview:
    """A coach's day: the sets open now (or the last closed one), and the week's moves lost.

    ``lost_to``: the same moves by cause (a technique or a residue of blame), most first.
    ``cost``: all that tables charge of the week so far. ``quiet``: who handed in nothing of late.
    """

    sets: tuple[CoachSet, ...]
    losses: tuple[MemberLoss, ...]
    lost_to: tuple[CauseLoss, ...]
    losses_since: datetime
    waiting_for_consent: int
    newcomers: tuple[Newcomer, ...]
    cost: WeekCost
    quiet: tuple[Quiet, ...]


def overview(viewer: Membership, now: datetime, *, by_moves: bool = True) -> Overview:
    """The coach's page of the day. Raises Sealed for somebody who is no coach.

    ``by_moves``: with the moves lost, which programs read; the page tells what the
    week cost instead, and asks every few seconds.
    """
    visibility.require_group(viewer)
    seen = visibility.shared_sets(viewer, now)
    sets = list(seen.not_closed(now).order_by("closes_at"))
    sets = sets or list(seen.order_by("-closes_at")[:1])
    monday = clock.week_of(clock.local_date(now, viewer.club.zone))
    since = clock.local_to_utc(monday, clock.MIDNIGHT, viewer.club.zone)
    shown = _coach_sets(viewer, sets, now)
    without_consent, newcomers = _arrivals(viewer, now)
    not_yet_read = [one.head.id for one in shown if not one.plans_open]
    return Overview(
        sets=tuple(shown),
        losses=moves_lost(viewer.club, since, now, leave_out=not_yet_read) if by_moves else (),
        lost_to=moves_lost_to(viewer.club, since, now, leave_out=not_yet_read) if by_moves else (),
        losses_since=since,
        waiting_for_consent=without_consent,
        newcomers=newcomers,
        cost=week_cost(viewer, now, leave_out=not_yet_read),
        quiet=quiet_members(viewer, now),
    )


def _arrivals(viewer: Membership, now: datetime) -> tuple[int, tuple[Newcomer, ...]]:
    """How many wait for consent; who came in the last days or waits to be let in, latest first."""
    others = Membership.objects.filter(club=viewer.club).exclude(pk=viewer.pk)
    recent = others.open().filter(joined_at__gt=now - NEW_FOR)
    found = recent | others.waiting_to_be_let_in() | others.waiting_for_consent()
    people = list(found.order_by("-joined_at", "display_name"))
    without_consent = sum(policies.waits_for_consent(one) for one in people)
    newcomers = tuple(
        Newcomer(one.pk, one.display_name, one.joined_at, policies.waits_to_be_let_in(one))
        for one in people
        if not policies.waits_for_consent(one)
    )
    return without_consent, newcomers


def set_overview(viewer: Membership, set_id: int, now: datetime) -> CoachSet:
    """One set with everybody's plans. Raises Sealed for no coach, and for what is not there yet."""
    visibility.require_group(viewer)
    sets = club_set(viewer, now, set_id)
    if not sets:
        raise Sealed
    return _coach_sets(viewer, sets, now)[0]


def plan_for_coach(viewer: Membership, plan_id: int, now: datetime) -> tuple[CoachPlan, Plan]:
    """One plan of the club with its scramble and row. Raises Sealed unless plans are open."""
    plan = (
        Plan.objects.with_words()
        .filter(pk=plan_id, scramble__scramble_set__in=visibility.club_sets(viewer, now))
        .select_related("scramble__scramble_set__club", "membership", "inspection")
        .select_related("verdict", "outlook")
        .first()
    )
    if plan is None:
        raise Sealed
    scramble_set = plan.scramble.scramble_set
    scrambles = scrambles_in([scramble_set.pk])
    own = own_plans_of(scrambles, _own_plans(viewer, [scramble_set]))
    visibility.require_others_plans(viewer, scramble_set, own, now)
    return (
        CoachPlan(
            head=head_of(scramble_set, now),
            scramble=plan.scramble.text,
            plan=plan_view(plan, True, reasons_of([plan]).get(plan.pk, "")),
        ),
        plan,
    )


def moves_lost(
    club: Club, since: datetime, until: datetime, *, leave_out: Sequence[int] = ()
) -> tuple[MemberLoss, ...]:
    """Moves lost per member over as-drawn sets that closed after ``since`` and opened by ``until``.

    Most lost first; members without a plan are there with zeros.
    """
    sets = _as_drawn(club, since, until, leave_out)
    of_period = Q(summaries__scramble_set__in=sets, summaries__counts=True)
    members = _reviewed(club).annotate(
        checked=Sum("summaries__plans", filter=of_period, default=0),
        all_solved=Sum("summaries__solved", filter=of_period, default=0),
        all_exact=Sum("summaries__exact", filter=of_period, default=0),
        all_lost=Sum("summaries__lost", filter=of_period, default=0),
    )
    rows = [
        MemberLoss(m.pk, m.display_name, m.checked, m.all_solved, m.all_lost, m.all_exact)
        for m in members
    ]
    return tuple(sorted(rows, key=lambda row: (-row.lost, row.member.casefold())))


def moves_lost_to(
    club: Club, since: datetime, until: datetime, *, leave_out: Sequence[int] = ()
) -> tuple[CauseLoss, ...]:
    """The moves of :func:`moves_lost` by what they were lost to, most first."""
    rows = (
        TechniqueCount.objects.counting()
        .filter(membership__in=_reviewed(club), lost__gt=0)
        .filter(scramble_set__in=_as_drawn(club, since, until, leave_out))
        .values("code")
        .annotate(all_lost=Sum("lost"))
        .values_list("code", "all_lost")
    )
    return tuple(CauseLoss(code, lost) for code, lost in sorted(rows, key=lambda row: -row[1]))


def _as_drawn(
    club: Club, since: datetime, until: datetime, leave_out: Sequence[int]
) -> QuerySet[ScrambleSet]:
    found = ScrambleSet.objects.of_club(club).as_drawn()
    return found.due_after(since).opened(until).exclude(pk__in=list(leave_out))


def _reviewed(club: Club) -> QuerySet[Membership]:
    return Membership.objects.filter(club=club).competing().order_by("display_name")


def _own_plans(viewer: Membership, sets: Sequence[ScrambleSet]) -> dict[int, Plan]:
    return {one.scramble_id: one for one in bare_plans_of(viewer.pk, [each.pk for each in sets])}


def _coach_sets(viewer: Membership, sets: Sequence[ScrambleSet], now: datetime) -> list[CoachSet]:
    for one in sets:
        one.club = viewer.club
    scrambles: dict[int, list[Scramble]] = defaultdict(list)
    ids = [one.pk for one in sets]
    for scramble in scrambles_in(ids):
        scrambles[scramble.scramble_set_id].append(scramble)
    plans: dict[int, list[Plan]] = defaultdict(list)
    for plan in plans_with_words_in(ids):
        plans[plan.scramble.scramble_set_id].append(plan)
    own = _own_plans(viewer, sets)
    reasons = reasons_of(one for of_set in plans.values() for one in of_set)
    load_named(sets)
    counting, periods = people_of(viewer.club_id)
    belonging = Belonging(sets)
    expected = {
        one.pk: {
            m.pk: m
            for m in counting
            if one.for_member_id in {None, m.pk}
            and policies.is_expected(periods[m.pk], one)
            and belonging.gives(m.pk, one)
        }
        for one in sets
    }
    return [
        _coach_set(
            viewer, one, scrambles[one.pk], plans[one.pk], own, expected[one.pk], reasons, now
        )
        for one in sets
    ]


def _coach_set(
    viewer: Membership,
    scramble_set: ScrambleSet,
    scrambles: Sequence[Scramble],
    plans: Sequence[Plan],
    own: dict[int, Plan],
    expected: Mapping[int, Membership],
    reasons: dict[int, str],
    now: datetime,
) -> CoachSet:
    plans_open = visibility.sees_others_plans(
        viewer, scramble_set, own_plans_of(scrambles, own), now
    )
    by_member: dict[int, list[Plan]] = defaultdict(list)
    for plan in plans:
        by_member[plan.membership_id].append(plan)
    people = dict(expected)
    # A coach who does not compete may still have handed in, and who has left the group.
    for plan in plans:
        people.setdefault(plan.membership_id, plan.membership)
    people = {pk: one for pk, one in people.items() if not policies.is_former(one)}
    days = [_member_day(m, by_member[m.pk], plans_open, reasons) for m in people.values()]
    days.sort(key=lambda day: day.member.casefold())
    return CoachSet(
        head=head_of(scramble_set, now),
        scrambles=tuple(scramble.text for scramble in scrambles),
        plans_open=plans_open,
        handed_in=tuple(day for day in days if day.handed_in),
        missing=tuple(day for day in days if not day.handed_in),
        waiting=sum(1 for plan in plans if plan.status == PlanStatus.WAITING),
        failed=sum(1 for plan in plans if plan.status == PlanStatus.FAILED),
    )


def _member_day(
    member: Membership, plans: Sequence[Plan], plans_open: bool, reasons: dict[int, str]
) -> MemberDay:
    counting = [plan for plan in plans if policies.counts_for_all(plan.scramble)]
    done = [plan for plan in counting if plan.status == PlanStatus.CHECKED]
    late = [plan for plan in done if plan.out_of_time and plan.verdict.solved]
    checked = [plan.verdict for plan in done if plan not in late]
    lost = sum(verdict.excess or 0 for verdict in checked)
    not_solved = sum(1 for verdict in checked if not verdict.solved)
    views = [plan_view(plan, True, reasons.get(plan.pk, "")) for plan in plans if plans_open]
    return MemberDay(
        membership_id=member.pk,
        member=member.display_name,
        handed_in=len(plans),
        last_at=max((plan.handed_in_at for plan in plans), default=None),
        excess=lost if plans_open else None,
        not_solved=not_solved if plans_open else None,
        out_of_time=len(late) if plans_open else None,
        plans=tuple(sorted(views, key=lambda view: view.number)),
    )
