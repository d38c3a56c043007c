"""What a coach sees of the group: techniques by need, members × techniques, scrambles as items."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import NamedTuple

from django.db.models import Count, Min, Q, QuerySet, Sum

from training import clock, statistics, visibility
from training.models import (
    Drawn,
    Group,
    Membership,
    Plan,
    Scramble,
    ScrambleSet,
    ScrambleSummary,
    SetSummary,
)
from training.selectors.reviews import (
    OTHER_CODES,
    TECHNIQUES,
    TechniqueLine,
    first_monday,
    tallies,
    technique_lines,
)
from training.selectors.set_heads import SetHead, head_of
from training.statistics import Interval, Tally

WEEKS = 4
MOST_SCRAMBLES = 12
QUIET_DAYS = 7


@dataclass(frozen=True, slots=True)
class MemberLine:
    """One member: totals and a line for each technique, in the order of ``TECHNIQUES``."""

    membership_id: int
    member: str
    groups: tuple[str, ...]
    plans: int
    solved: int
    lost: int
    techniques: tuple[TechniqueLine, ...]


@dataclass(frozen=True, slots=True)
class GroupLine:
    """One technique of the whole group, with the need for it.

    ``lacking``: names of members who likely need work. ``group_lacks``: the
    group's own upper limit is below the coach's target. ``need`` = moves lost ×
    the larger of (members likely lacking it) and (all members, when the group
    lacks it): where everybody lacks an idea nobody stands out from the group.
    """

    code: str
    tally: Tally
    interval: Interval | None
    lost: float
    lacking: tuple[str, ...]
    group_lacks: bool
    need: float


@dataclass(frozen=True, slots=True)
class Item:
    """A scramble as an item: facility (share of plans exactly at the best) beside the best."""

    head: SetHead
    number: int
    text: str
    best: int
    plans: int
    exact: int
    facility: Interval
    lost: int
    stands_out: bool


@dataclass(frozen=True, slots=True)
class GroupReview:
    """The group review. ``other_losses``: moves lost to no technique, by code."""

    since: date
    weeks: int
    group: str
    drawn: str
    target: float
    members: tuple[MemberLine, ...]
    techniques: tuple[GroupLine, ...]
    other_losses: tuple[tuple[str, float], ...]
    items: tuple[Item, ...]
    week_means: tuple[tuple[date, float | None], ...]
    quiet: tuple[str, ...]
    groups: tuple[str, ...]


def group_review(
    viewer: Membership,
    now: datetime,
    *,
    weeks: int = WEEKS,
    group: str = "",
    drawn: str = Drawn.AS_DRAWN,
    target: float | None = None,
    most_scrambles: int | None = MOST_SCRAMBLES,
) -> GroupReview:
    """The review of a club's members, or of one group of them. Raises Sealed for no coach.

    A constant number of queries, from the summaries. ``most_scrambles`` None:
    all of them.
    """
    visibility.require_group(viewer)
    target = viewer.club.technique_target / 100 if target is None else target
    monday = first_monday(viewer, now, weeks)
    since = clock.local_to_utc(monday, clock.MIDNIGHT, viewer.club.zone)
    sets = visibility.reviewed_sets(viewer, since, now, drawn=drawn)
    people = list(visibility.reviewed_members(viewer, group).prefetch_related("groups"))
    chosen = {one.pk for one in people}
    by_code = {
        code: {pk: one for pk, one in found.items() if pk in chosen}
        for code, found in tallies(sets).items()
    }
    members = _members(people, by_code, sets, chosen)
    return GroupReview(
        since=monday,
        weeks=weeks,
        group=group,
        drawn=drawn,
        target=target,
        members=members,
        techniques=_lines(members, by_code, target),
        other_losses=tuple(
            (code, sum(lost for _, lost in by_code.get(code, {}).values()))
            for code in OTHER_CODES
            if by_code.get(code)
        ),
        items=_items(viewer, sets, chosen, now, most_scrambles),
        week_means=_week_means(viewer, sets, chosen, monday, weeks),
        quiet=_quiet(people, now),
        groups=tuple(Group.objects.filter(club=viewer.club).values_list("name", flat=True)),
    )


def _members(
    people: Sequence[Membership],
    by_code: Mapping[str, Mapping[int, tuple[Tally, float]]],
    sets: QuerySet[ScrambleSet],
    chosen: set[int],
) -> tuple[MemberLine, ...]:
    totals = {
        row["membership_id"]: row
        for row in SetSummary.objects.filter(scramble_set__in=sets, membership__in=chosen)
        .values("membership_id")
        .annotate(all_plans=Sum("plans"), all_solved=Sum("solved"), all_lost=Sum("lost"))
    }
    ids = [one.pk for one in people]
    columns = [technique_lines(code, ids, by_code.get(code, {}), {}) for code in TECHNIQUES]
    lines = []
    for place, one in enumerate(people):
        row = totals.get(one.pk, {"all_plans": 0, "all_solved": 0, "all_lost": 0})
        lines.append(
            MemberLine(
                membership_id=one.pk,
                member=one.display_name,
                groups=tuple(group.name for group in one.groups.all()),
                plans=row["all_plans"],
                solved=row["all_solved"],
                lost=row["all_lost"],
                techniques=tuple(column[place] for column in columns),
            )
        )
    return tuple(lines)


def _lines(
    members: Sequence[MemberLine],
    by_code: Mapping[str, Mapping[int, tuple[Tally, float]]],
    target: float,
) -> tuple[GroupLine, ...]:
    lines = []
    for place, code in enumerate(TECHNIQUES):
        found = by_code.get(code, {}).values()
        counts = [tally for tally, _ in found]
        tally = Tally(sum(one.answered for one in counts), sum(one.called for one in counts))
        lost = sum(share for _, share in found)
        lacking = tuple(
            one.member
            for one in members
            if one.techniques[place].flag == statistics.Flag.NEEDS_WORK
        )
        lacks = statistics.group_lacks(counts, target)
        lines.append(
            GroupLine(
                code=code,
                tally=tally,
                interval=statistics.wilson(tally.answered, tally.called) if tally.called else None,
                lost=lost,
                lacking=lacking,
                group_lacks=lacks,
                need=lost * max(len(lacking), len(members) if lacks else 0),
            )
        )
    return tuple(sorted(lines, key=lambda line: (-line.need, -line.lost)))


def _items(
    viewer: Membership,
    sets: QuerySet[ScrambleSet],
    chosen: set[int] | None,
    now: datetime,
    most: int | None,
) -> tuple[Item, ...]:
    """The ``most`` hardest scrambles; those that stand out, by Benjamini & Hochberg.

    A scramble's p-value is that of so few exact plans or fewer, were it as easy
    as all scrambles of the same best length together. ``chosen``: whose plans
    count; None for everybody's, which are summed up already.
    """
    rows = _sums(sets) if chosen is None else _sums_of(sets, chosen)
    by_best: dict[int, list[int]] = defaultdict(lambda: [0, 0])
    for row in rows:
        by_best[row.best][0] += row.exact
        by_best[row.best][1] += row.plans
    out = statistics.stand_out([_as_hard(row.exact, row.plans, *by_best[row.best]) for row in rows])
    hardest = sorted(
        zip(rows, out, strict=True), key=lambda one: (one[0].exact / one[0].plans, -one[0].lost)
    )[:most]
    scrambles = Scramble.objects.select_related("scramble_set").in_bulk(
        [row.scramble for row, _ in hardest]
    )
    return tuple(
        _item(viewer, scrambles[row.scramble], row, stands_out, now) for row, stands_out in hardest
    )


class _ScrambleSum(NamedTuple):
    """A scramble's checked plans: how many, how many exact, moves lost, best length."""

    scramble: int
    plans: int
    exact: int
    lost: int
    best: int


def _sums(sets: QuerySet[ScrambleSet]) -> list[_ScrambleSum]:
    rows = ScrambleSummary.objects.filter(scramble__scramble_set__in=sets).order_by("scramble_id")
    return [
        _ScrambleSum(*row)
        for row in rows.values_list("scramble_id", "plans", "exact", "lost", "best")
    ]


def _sums_of(sets: QuerySet[ScrambleSet], chosen: set[int]) -> list[_ScrambleSum]:
    rows = (
        Plan.objects.checked()
        .filter(scramble__scramble_set__in=sets, membership__in=chosen)
        .values("scramble_id")
        .annotate(
            all_plans=Count("pk"),
            all_exact=Count("pk", filter=Q(verdict__excess=0)),
            all_lost=Sum("verdict__excess", default=0),
            least=Min("verdict__best"),
        )
        .order_by("scramble_id")
        .values_list("scramble_id", "all_plans", "all_exact", "all_lost", "least")
    )
    return [_ScrambleSum(*row) for row in rows]


def _item(
    viewer: Membership, scramble: Scramble, row: _ScrambleSum, stands_out: bool, now: datetime
) -> Item:
    scramble.scramble_set.club = viewer.club
    return Item(
        head=head_of(scramble.scramble_set, now),
        number=scramble.number,
        text=scramble.text,
        best=row.best,
        plans=row.plans,
        exact=row.exact,
        facility=statistics.wilson(row.exact, row.plans),
        lost=row.lost,
        stands_out=stands_out,
    )


def _as_hard(exact: int, checked: int, all_exact: int, all_checked: int) -> float:
    return statistics.chance_of_so_few(exact, checked, all_exact / all_checked)


def _week_means(
    viewer: Membership, sets: QuerySet[ScrambleSet], chosen: set[int], monday: date, weeks: int
) -> tuple[tuple[date, float | None], ...]:
    """Mean moves lost a solved plan, by week of the set's closing day."""
    found: dict[date, list[int]] = defaultdict(lambda: [0, 0])
    rows = (
        SetSummary.objects.filter(scramble_set__in=sets, membership__in=chosen)
        .values("scramble_set__closes_at")
        .annotate(all_lost=Sum("lost"), all_solved=Sum("solved"))
        .values_list("scramble_set__closes_at", "all_lost", "all_solved")
    )
    for closes_at, lost, solved in rows:
        week = clock.week_of(clock.closing_day(closes_at, viewer.club.zone))
        found[week][0] += lost
        found[week][1] += solved
    spans = [monday + timedelta(weeks=number) for number in range(weeks)]
    return tuple(
        (week, found[week][0] / found[week][1] if found[week][1] else None) for week in spans
    )


def _quiet(people: Sequence[Membership], now: datetime) -> tuple[str, ...]:
    """Who joined more than a week ago and has handed in nothing for a week."""
    since = now - timedelta(days=QUIET_DAYS)
    heard = set(
        Plan.objects.filter(
            membership__in=[one.pk for one in people], handed_in_at__gt=since
        ).values_list("membership_id", flat=True)
    )
    return tuple(
        one.display_name for one in people if one.joined_at <= since and one.pk not in heard
    )
