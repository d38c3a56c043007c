"""Every set that ever was, by month; the sets around one; the plans of a set in reading order."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count, Q
from django.db.models.functions import Lower

from training import clock, visibility
from training.models import Group, Kind, Membership, Plan, Scramble, ScrambleSet
from training.models.sets import ScrambleSetQuerySet
from training.prepared import INSTANT, LARGE
from training.selectors.for_viewers import PreparedFor
from training.selectors.own_months import MonthOfSets
from training.selectors.plans import PlanView, own_plans_of, plan_view
from training.selectors.set_heads import SetHead, head_of, load_named
from training.visibility import OwnPlans, Sealed

KINDS = tuple(kind for kind in Kind if kind not in {Kind.PRACTICE, Kind.AFTERWARDS})
"""The kinds of set that a whole club or a part of it has."""


@dataclass(frozen=True, slots=True)
class EarlierSet:
    """A set that has opened.

    ``own``: how many of its ``scrambles`` the viewer has planned. ``members`` and ``plans``: who
    handed in how many; None for who is no coach. ``again``: the viewer's own, afterwards.
    """

    head: SetHead
    scrambles: int
    own: int
    members: int | None
    plans: int | None
    table_open: bool
    again: int | None


@dataclass(frozen=True, slots=True)
class EarlierSets:
    """The sets that were due to close in ``month`` (its first day), newest first.

    ``first`` and ``last``: the first and the last month with any set, None where there is none;
    ``before`` and ``after``: the nearest months with one of the kind that is asked for.
    """

    month: date
    sets: tuple[EarlierSet, ...]
    first: date | None
    last: date | None
    before: date | None
    after: date | None


def earlier_sets(
    viewer: Membership,
    now: datetime,
    *,
    month: date | None = None,
    kind: str = "",
    group: int | None = None,
) -> EarlierSets:
    """A month of all sets that the viewer may see, of one kind or for one group if it is given.

    Without ``month`` the newest that has any. However many years there are, the number of
    queries is the same and each is answered from an index.
    """
    every = visibility.shared_sets(viewer, now)
    asked = _asked(every, kind, group)
    newest = _month_of(viewer, asked.order_by("-due_at").first())
    month = (month or newest or clock.local_date(now, viewer.club.zone)).replace(day=1)
    begin, end = _bounds(month, viewer)
    found = list(asked.closing_within(begin, end).order_by("-due_at", "-pk"))
    return EarlierSets(
        month=month,
        sets=_rows(viewer, found, now),
        first=_month_of(viewer, every.order_by("due_at").first()),
        last=_month_of(viewer, every.order_by("-due_at").first()),
        before=_month_of(viewer, asked.due_by(begin).order_by("-due_at").first()),
        after=_month_of(viewer, asked.due_after(end).order_by("due_at").first()),
    )


def groups_of(viewer: Membership) -> list[tuple[int, str]]:
    """The groups of the viewer's club, by name, also those put away: their sets stay. One query."""
    return list(Group.objects.of_club(viewer.club_id).values_list("pk", "name"))


def earlier_page(
    viewer: Membership,
    now: datetime,
    *,
    kind: str = "",
    group: int | None = None,
    start: int = 0,
    count: int = 50,
) -> tuple[tuple[EarlierSet, ...], int]:
    """The same sets by number: a page of ``count`` from ``start`` on, and how many there are."""
    every = visibility.shared_sets(viewer, now)
    asked = _asked(every, kind, group)
    found = list(asked.order_by("-due_at", "-pk")[start : start + count])
    return _rows(viewer, found, now), asked.count()


def _asked(sets: ScrambleSetQuerySet, kind: str, group: int | None) -> ScrambleSetQuerySet:
    asked = sets.filter(kind=kind) if kind else sets
    return asked.filter(groups=group) if group is not None else asked


def _bounds(month: date, viewer: Membership) -> tuple[datetime, datetime]:
    following = date(month.year + month.month // 12, month.month % 12 + 1, 1)
    zone = viewer.club.zone
    return (
        clock.local_to_utc(month, clock.MIDNIGHT, zone),
        clock.local_to_utc(following, clock.MIDNIGHT, zone),
    )


def _month_of(viewer: Membership, scramble_set: ScrambleSet | None) -> date | None:
    if scramble_set is None:
        return None
    return clock.closing_day(scramble_set.due_at, viewer.club.zone).replace(day=1)


def _rows(viewer: Membership, sets: Sequence[ScrambleSet], now: datetime) -> tuple[EarlierSet, ...]:
    numbers: dict[int, set[int]] = defaultdict(set)
    void: dict[int, set[int]] = defaultdict(set)
    rows = Scramble.objects.filter(scramble_set__in=sets).order_by()
    for set_id, number, is_void in rows.values_list("scramble_set", "number", "void"):
        (void if is_void else numbers)[set_id].add(number)
    mine: dict[int, set[int]] = defaultdict(set)
    own = Plan.objects.filter(membership=viewer, scramble__scramble_set__in=sets).order_by()
    for set_id, number in own.values_list("scramble__scramble_set", "scramble__number"):
        mine[set_id].add(number)
    plans: Counter[int] = Counter()
    members: Counter[int] = Counter()
    load_named(sets)
    coaches = visibility.sees_group(viewer)
    if coaches:
        every = Plan.objects.with_words().filter(scramble__scramble_set__in=sets).order_by()
        counted = every.values("scramble__scramble_set").annotate(
            all_plans=Count("pk"), all_members=Count("membership", distinct=True)
        )
        for row in counted:
            plans[row["scramble__scramble_set"]] = row["all_plans"]
            members[row["scramble__scramble_set"]] = row["all_members"]
    again = afterwards_of(viewer, sets)
    found = []
    for one in sets:
        one.club = viewer.club
        is_in = OwnPlans(frozenset(mine[one.pk]), frozenset(numbers[one.pk]))
        found.append(
            EarlierSet(
                head=head_of(one, now),
                scrambles=len(numbers[one.pk]),
                own=len(mine[one.pk] & numbers[one.pk]),
                members=members[one.pk] if coaches else None,
                plans=plans[one.pk] if coaches else None,
                table_open=visibility.sees_table(viewer, one, is_in, now),
                again=again.get(one.pk),
            )
        )
    return tuple(found)


def afterwards_of(viewer: Membership, sets: Iterable[ScrambleSet | int]) -> dict[int, int]:
    """By set, the viewer's own one in which it is planned again. One query."""
    own = ScrambleSet.objects.afterwards_of(viewer).filter(again_of__in=list(sets))
    return {again_of: pk for pk, again_of in own.values_list("pk", "again_of") if again_of}


def sets_around(
    viewer: Membership, head: SetHead, now: datetime
) -> tuple[SetHead | None, SetHead | None]:
    """The set that opened before another and the one that opened after it, of any kind."""
    before, after = (around(viewer, now, head.opens_at, head.id) for around in (_before, _after))
    return _head(viewer, before, now), _head(viewer, after, now)


_before = PreparedFor(
    lambda viewer, now, opens_at, pk: (
        visibility.shared_sets(viewer, now)
        .filter(Q(opens_at__lt=opens_at) | Q(opens_at=opens_at, pk__lt=pk))
        .order_by("-opens_at", "-pk")[:1]
    ),
    *(INSTANT, INSTANT, LARGE),
)
_after = PreparedFor(
    lambda viewer, now, opens_at, pk: (
        visibility.shared_sets(viewer, now)
        .filter(Q(opens_at__gt=opens_at) | Q(opens_at=opens_at, pk__gt=pk))
        .order_by("opens_at", "pk")[:1]
    ),
    *(INSTANT, INSTANT, LARGE),
)


def _head(viewer: Membership, found: list[ScrambleSet], now: datetime) -> SetHead | None:
    for one in found:
        one.club = viewer.club
        return head_of(one, now)
    return None


@dataclass(frozen=True, slots=True)
class MemberSet:
    """A set with one member's plans, as a coach reads them.

    ``counting``: the numbers of the scrambles that count. ``sealed``: the coach competes and may
    not read the plans yet; then there are none here.
    """

    head: SetHead
    counting: frozenset[int]
    sealed: bool
    plans: tuple[PlanView, ...]


def sets_of_member(
    viewer: Membership, member: Membership, now: datetime, found: MonthOfSets
) -> list[MemberSet]:
    """A member's sets of a month with the plans, newest first, for a coach of the club.

    Raises Sealed for anybody else but the member.
    """
    visibility.require_review(viewer, member)
    since = visibility.sets_since_joining(member, now)
    sets = list(since.opening_within(found.begin, found.end).order_by("-opens_at"))
    load_named(sets)
    scrambles: dict[int, list[Scramble]] = defaultdict(list)
    for scramble in Scramble.objects.filter(scramble_set__in=sets):
        scrambles[scramble.scramble_set_id].append(scramble)
    plans: dict[int, list[Plan]] = defaultdict(list)
    own: dict[int, Plan] = {}
    both = Plan.objects.filter(
        membership__in=[viewer, member], scramble__scramble_set__in=sets
    ).select_related("scramble", "membership", "inspection", "verdict", "outlook")
    for plan in both.order_by("scramble__number"):
        if plan.membership_id == viewer.pk:
            own[plan.scramble_id] = plan
        if plan.membership_id == member.pk:
            plans[plan.scramble.scramble_set_id].append(plan)
    rows = []
    for one in sets:
        one.club = viewer.club
        mine = own_plans_of(scrambles[one.pk], own)
        open_ = visibility.sees_others_plans(viewer, one, mine, now)
        rows.append(
            MemberSet(
                head=head_of(one, now),
                counting=mine.counting,
                sealed=not open_,
                plans=tuple(plan_view(plan, True) for plan in plans[one.pk] if open_),
            )
        )
    return rows


@dataclass(frozen=True, slots=True)
class PlaceInReading:
    """Where a plan stands among all of its set, scramble by scramble and then by name.

    ``position`` is counted from 1. ``before`` and ``after``: the ids of the plans beside it.
    """

    position: int
    plans: int
    before: int | None
    after: int | None


def reading_order(set_id: int) -> list[int]:
    """The ids of a set's plans in the order in which they are read. One query.

    Whether they may be read, the caller has asked.
    """
    plans = Plan.objects.with_words().filter(scramble__scramble_set=set_id)
    ordered = plans.order_by("scramble__number", Lower("membership__display_name"), "pk")
    return list(ordered.values_list("pk", flat=True))


def reading_of(set_id: int, plan_id: int) -> PlaceInReading:
    """Where one plan stands in :func:`reading_order`. Raises Sealed where it does not."""
    ids = reading_order(set_id)
    if plan_id not in ids:
        raise Sealed
    at = ids.index(plan_id)
    return PlaceInReading(
        position=at + 1,
        plans=len(ids),
        before=ids[at - 1] if at else None,
        after=ids[at + 1] if at + 1 < len(ids) else None,
    )
