"""What a coach sees of the group: techniques by need, members × techniques, scrambles as items."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction

from django.db.models import Sum

from solverworker.causes.residues import COLOUR_CHOICE, UNDONE
from solverworker.report import SLIPS
from training import clock, visibility
from training.account import Account
from training.models import (
    Drawn,
    Membership,
    ScrambleSet,
    SetSummary,
)
from training.prepared import MANY, Prepared
from training.selectors.accounts import accounts_of
from training.selectors.clubs import groups_of
from training.selectors.groups import group_of_each
from training.selectors.idea_looks import Looked, look_at, pooled_rates
from training.selectors.quiet import quiet_among
from training.selectors.reviewed_sets import sets_in_review
from training.selectors.reviews import (
    OTHER_CODES,
    TECHNIQUES,
    TechniqueLine,
    first_monday,
    technique_line,
)
from training.selectors.scramble_items import Item, items_of
from training.statistics import Interval, Tally
from training.yardsticks import Flag

HABITS = (*SLIPS, UNDONE.code, COLOUR_CHOICE.code)
"""What a lesson may be about beside the ideas."""

WEEKS = 4
MOST_SCRAMBLES = 12


@dataclass(frozen=True, slots=True)
class MemberLine:
    """One member: totals, the account, and a line for each technique, in their order.

    ``first``: the heading of the account that is named first, if any.
    """

    membership_id: int
    member: str
    groups: tuple[str, ...]
    plans: int
    solved: int
    lost: int
    account: Account
    first: str | None
    techniques: tuple[TechniqueLine, ...]


@dataclass(frozen=True, slots=True)
class GroupLine:
    """One technique of the whole group, with the need for it.

    ``interval``: from how sets differ; None with too few of them.
    ``lacking``: names of members who likely need work; ``strong``: of those who
    are strong; of the others there is not enough evidence. ``group_lacks``: the
    group itself is below the coach's target. ``need``: points a week that a
    lesson could save: over members, the chance that the rate is below
    the target × the points that it cost a week.
    """

    code: str
    tally: Tally
    interval: Interval | None
    lost: float
    lacking: tuple[str, ...]
    strong: tuple[str, ...]
    group_lacks: bool
    need: float

    @property
    def stands_out(self) -> bool:
        """Whether it is known of anybody, or of the group, that a lesson would help."""
        return bool(self.lacking) or self.group_lacks


@dataclass(frozen=True, slots=True)
class HabitLine:
    """What costs the group beside ideas: a kind of slip, moves undone, the choice of colour.

    ``points``: all that it cost; ``need``: points a week. ``members``: names of
    those whom it is the first heading of.
    """

    code: str
    points: Fraction
    need: float
    members: tuple[str, ...]

    @property
    def stands_out(self) -> bool:
        """Whether it is what somebody's account names first."""
        return bool(self.members)


@dataclass(frozen=True, slots=True)
class GroupReview:
    """The group review.

    ``looked``: the Monday up to which rates are told of. ``habits``: what costs
    beside ideas, most first. ``other_losses``: moves lost to no technique.
    """

    since: date
    looked: date
    weeks: int
    group: str
    drawn: str
    target: float
    members: tuple[MemberLine, ...]
    techniques: tuple[GroupLine, ...]
    habits: tuple[HabitLine, ...]
    other_losses: tuple[tuple[str, float], ...]
    items: tuple[Item, ...]
    week_means: tuple[tuple[date, float | None], ...]
    quiet: tuple[str, ...]
    groups: tuple[str, ...]

    @property
    def next_lesson(self) -> GroupLine | HabitLine | None:
        """What stands out and would save most; None where nothing does."""
        lines: tuple[GroupLine | HabitLine, ...] = (*self.techniques, *self.habits)
        return max((one for one in lines if one.stands_out), key=lambda one: one.need, default=None)


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
    sets = sets_in_review(viewer, since, now, drawn=drawn)
    people = list(visibility.reviewed_members(viewer, group, at=now))
    chosen = {one.pk for one in people}
    ids = [one.pk for one in people]
    looked = look_at(viewer, ids, now, target, drawn=drawn, beside=[sets])
    by_code = {
        code: {pk: one for pk, one in found.items() if pk in chosen}
        for code, found in looked.beside[0].items()
    }
    members = _members(people, by_code, sets, looked, now)
    means, begun = _week_means(viewer, sets, chosen, monday, weeks)
    return GroupReview(
        since=monday,
        looked=looked.monday,
        weeks=weeks,
        group=group,
        drawn=drawn,
        target=target,
        members=members,
        techniques=_lines(
            members,
            looked,
            pooled_rates(viewer, ids, looked.monday, drawn=drawn),
            begun,
        ),
        habits=_habits(members, begun),
        other_losses=tuple(
            (code, sum(lost for _, lost in by_code.get(code, {}).values()))
            for code in OTHER_CODES
            if by_code.get(code)
        ),
        items=items_of(viewer, sets, chosen, now, most_scrambles),
        week_means=means,
        quiet=tuple(one.member for one in quiet_among(viewer, people, now)),
        groups=groups_of(viewer.club),
    )


_totals: Prepared[tuple[int, int, int, int]] = Prepared(
    lambda sets, members: (
        SetSummary.objects.counting()
        .filter(scramble_set__in=sets, membership__in=members)
        .values("membership_id")
        .annotate(all_plans=Sum("plans"), all_solved=Sum("solved"), all_lost=Sum("lost"))
        .values_list("membership_id", "all_plans", "all_solved", "all_lost")
    ),
    *(MANY, MANY),
)


def _members(
    people: Sequence[Membership],
    by_code: Mapping[str, Mapping[int, tuple[Tally, float]]],
    sets: Iterable[ScrambleSet],
    looked: Looked,
    now: datetime,
) -> tuple[MemberLine, ...]:
    known = list(sets)
    rows = _totals([one.pk for one in known], [one.pk for one in people])
    totals = {member: figures for member, *figures in rows}
    accounts = accounts_of(people, known, limits=False)
    groups = group_of_each((one.pk for one in people), now)
    lines = []
    for one in people:
        plans, solved, lost = totals.get(one.pk, (0, 0, 0))
        lines.append(
            MemberLine(
                membership_id=one.pk,
                member=one.display_name,
                groups=(groups[one.pk],) if one.pk in groups else (),
                plans=plans,
                solved=solved,
                lost=lost,
                account=accounts[one.pk],
                first=accounts[one.pk].first(looked.flags[one.pk]),
                techniques=tuple(
                    technique_line(code, one.pk, looked, by_code.get(code, {}), {})
                    for code in TECHNIQUES
                ),
            )
        )
    return tuple(lines)


def _lines(
    members: Sequence[MemberLine],
    looked: Looked,
    pooled: Mapping[str, Interval | None],
    weeks: int,
) -> tuple[GroupLine, ...]:
    lines = []
    for place, code in enumerate(TECHNIQUES):
        of_members = [(one, one.techniques[place]) for one in members]
        tally = Tally(
            sum(line.tally.answered for _, line in of_members),
            sum(line.tally.called for _, line in of_members),
        )
        lines.append(
            GroupLine(
                code=code,
                tally=tally,
                interval=pooled[code],
                lost=sum(line.lost for _, line in of_members),
                lacking=_flagged(of_members, Flag.NEEDS_WORK),
                strong=_flagged(of_members, Flag.STRONG),
                group_lacks=code in looked.learning,
                need=sum(
                    line.below_target * float(one.account.of_heading(code))
                    for one, line in of_members
                )
                / weeks,
            )
        )
    return tuple(sorted(lines, key=lambda line: (-line.need, -line.lost)))


def _flagged(of_members: Sequence[tuple[MemberLine, TechniqueLine]], flag: Flag) -> tuple[str, ...]:
    """The names of those of whom one thing is said."""
    return tuple(one.member for one, line in of_members if line.flag == flag)


def _habits(members: Sequence[MemberLine], weeks: int) -> tuple[HabitLine, ...]:
    lines = []
    for code in HABITS:
        points = sum((one.account.of_heading(code) for one in members), Fraction(0))
        if points:
            named = tuple(one.member for one in members if one.first == code)
            lines.append(HabitLine(code, points, float(points) / weeks, named))
    return tuple(sorted(lines, key=lambda line: -line.need))


def _week_means(
    viewer: Membership, sets: Iterable[ScrambleSet], chosen: set[int], monday: date, weeks: int
) -> tuple[tuple[tuple[date, float | None], ...], int]:
    """Mean moves lost a solved plan, by week of the set's closing day; how many weeks there were.

    From the first one with a checked plan on: a young club has not had all of them.
    """
    found: dict[date, list[int]] = defaultdict(lambda: [0, 0])
    rows = (
        SetSummary.objects.counting()
        .filter(scramble_set__in=sets, membership__in=chosen)
        .values("scramble_set__due_at")
        .annotate(all_lost=Sum("lost"), all_solved=Sum("solved"))
        .values_list("scramble_set__due_at", "all_lost", "all_solved")
    )
    for due_at, lost, solved in rows:
        week = clock.week_of(clock.closing_day(due_at, viewer.club.zone))
        found[week][0] += lost
        found[week][1] += solved
    spans = [monday + timedelta(weeks=number) for number in range(weeks)]
    begun = weeks - max(0, (min(found, default=monday) - monday).days // 7)
    means = [(week, found[week][0] / found[week][1] if found[week][1] else None) for week in spans]
    return tuple(means), begun
