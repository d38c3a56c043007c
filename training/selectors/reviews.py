"""What plans show of a member: techniques, where moves are lost, trend, examples.

Seen by that member and the coaches alone. Rates come from as-drawn sets only;
picked sets have a rate of their own, shown apart.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Count, Q, QuerySet, Sum
from django.db.models.functions import Coalesce, Least

from solverworker.causes import IDEAS, RESIDUES
from training import clock, statistics, visibility
from training.account import LENGTHS, Account
from training.models import (
    Drawn,
    Membership,
    ScrambleSet,
    SetSummary,
    Verdict,
)
from training.outlooks import OutlookHabits
from training.rules import CAP
from training.selectors.accounts import accounts_of
from training.selectors.clubs import membership_in
from training.selectors.counting import totalled
from training.selectors.idea_looks import NOTHING, Looked, look_at
from training.selectors.outlooks import outlook_habits
from training.selectors.review_examples import Example, examples_of, plans_that_show
from training.selectors.reviewed_sets import sets_in_review
from training.statistics import Interval, Tally, Trend
from training.yardsticks import Flag, Lean

TECHNIQUES = tuple(IDEAS)
RARELY_CALLED = tuple(code for code, idea in IDEAS.items() if idea.rarely_called)
"""Called for so seldom on random crosses that a page never says how many more are needed."""

OTHER_CODES = tuple(RESIDUES)
WEEKS = 8
MOST_FLAGS = 2
MOST_EXAMPLES = 3


@dataclass(frozen=True, slots=True)
class TechniqueLine:
    """One technique of one member, at the last weekly look.

    ``interval`` is None without an opportunity, and not to be shown as a bare
    number below ``statistics.LEAST_CALLED``. ``below_target``: the chance that
    the true rate is. ``group_more_often``: the group answers it more often.
    ``learning``: the whole group is learning it, this member with it.
    ``more_needed`` is None where the technique is rarely called for. ``lost``:
    moves, over the weeks of the review. ``picked``: the same in sets picked for
    a lesson.
    """

    code: str
    tally: Tally
    interval: Interval | None
    flag: Flag
    below_target: float
    lean: Lean
    group_more_often: bool
    learning: bool
    more_needed: int | None
    lost: float
    picked: Tally


@dataclass(frozen=True, slots=True)
class Week:
    """One week's checked plans: own points, and the mean difference to the others on the same.

    ``lost``: moves, of solved plans. Points as the table counts them: an unsolved
    plan is the cap. ``against_others`` is None where nobody else planned a
    scramble of these. ``new_rules``: a set of the week has other colours,
    another spelling or more or fewer scrambles than the one before it.
    """

    monday: date
    plans: int
    lost: int
    points: int
    against_others: float | None
    new_rules: bool


@dataclass(frozen=True, slots=True)
class MemberReview:
    """A member's review: the whole account, and at most two ideas to work on, with evidence.

    ``account``: of the sets that closed since ``since``; ``first``: the heading
    named first, ``first_plans`` own plans that show it. ``group``: the account's
    exact plans by length of all others together. ``looked``: the Monday of the
    last look, up to which ideas are told of. ``strongest``: hardly a move is
    lost any more, as :meth:`training.account.Account.loses_nothing` has it; ``outlook``:
    what the plans leave beyond their crosses.
    """

    membership: Membership
    since: date
    account: Account
    first: str | None
    first_plans: tuple[Example, ...]
    strongest: bool
    outlook: OutlookHabits
    group: Mapping[int, Tally]
    looked: date
    plans: int
    solved: int
    lost: int
    to_work_on: tuple[TechniqueLine, ...]
    lines: tuple[TechniqueLine, ...]
    strong: tuple[TechniqueLine, ...]
    other_losses: tuple[tuple[str, float], ...]
    weeks: tuple[Week, ...]
    trend: Trend | None
    examples: Mapping[str, tuple[Example, ...]]
    ends_on_bottom: int
    turns_cube_late: int
    back_turns: int
    half_turns: int


def first_monday(viewer: Membership, now: datetime, weeks: int) -> date:
    """The Monday with which the last ``weeks`` weeks begin, this week included."""
    this_week = clock.week_of(clock.local_date(now, viewer.club.zone))
    return this_week - timedelta(weeks=weeks - 1)


def review_for(viewer: Membership, membership_id: int, now: datetime) -> MemberReview:
    """A member's review for whoever asks. Raises Sealed unless it is their own or they coach."""
    own = membership_id == viewer.pk
    member = viewer if own else membership_in(viewer.club, membership_id)
    return member_review(visibility.require_review(viewer, member), now, viewer=viewer)


def member_review(
    member: Membership,
    now: datetime,
    *,
    viewer: Membership,
    weeks: int = WEEKS,
    most_examples: int = MOST_EXAMPLES,
) -> MemberReview:
    """The review of one member, of the sets that a review tells ``viewer`` about."""
    monday = first_monday(member, now, weeks)
    since = clock.local_to_utc(monday, clock.MIDNIGHT, member.club.zone)
    as_drawn = sets_in_review(viewer, since, now)
    as_picked = sets_in_review(viewer, since, now, drawn=Drawn.PICKED)
    others = visibility.reviewed_members(viewer).exclude(pk=member.pk)
    # The member first; then everybody who is looked at.
    together = [member.pk, *others.values_list("pk", flat=True)]
    target = member.club.technique_target / 100
    looked = look_at(viewer, together, now, target, beside=[as_drawn, as_picked])
    lost, picked = looked.beside
    lines = tuple(
        technique_line(code, member.pk, looked, lost.get(code, {}), picked.get(code, {}))
        for code in TECHNIQUES
    )
    needs = [one for one in lines if one.flag == Flag.NEEDS_WORK]
    needs.sort(key=lambda one: -one.lost)
    account = accounts_of([member], as_drawn)[member.pk]
    first = account.first(looked.flags[member.pk])
    summaries = SetSummary.objects.counting().filter(scramble_set__in=as_drawn)
    totals = _totals(summaries.filter(membership=member))
    counting = totalled(Verdict.objects.counting(), as_drawn)
    spans = _weeks(member, counting, _weeks_of_new_rules(member, as_drawn), monday, weeks)
    differences = [one.against_others for one in spans if one.against_others is not None]
    return MemberReview(
        membership=member,
        since=monday,
        account=account,
        first=first,
        first_plans=plans_that_show(member, as_drawn, now, first) if most_examples else (),
        strongest=account.loses_nothing(first),
        outlook=outlook_habits(member, counting),
        group=exact_by_length(counting, without=member),
        looked=looked.monday,
        plans=totals["plans"],
        solved=totals["solved"],
        lost=totals["lost"],
        to_work_on=tuple(needs[:MOST_FLAGS]),
        lines=lines,
        strong=tuple(one for one in lines if one.flag == Flag.STRONG),
        other_losses=tuple(
            (code, moves)
            for code in OTHER_CODES
            if (moves := lost.get(code, {}).get(member.pk, NOTHING)[1]) > 0
        ),
        weeks=spans,
        trend=statistics.trend(differences),
        examples=examples_of(member, as_drawn, now, TECHNIQUES, most_examples),
        ends_on_bottom=totals["ends_on_bottom"],
        turns_cube_late=totals["turns_cube_late"],
        back_turns=totals["back_turns"],
        half_turns=totals["half_turns"],
    )


def exact_by_length(verdicts: QuerySet[Verdict], *, without: Membership) -> dict[int, Tally]:
    """Exact of some checked plans by best length, of everybody but one member."""
    exact = Q(excess=0, plan__out_of_time=False)
    rows = (
        verdicts.filter(best__in=LENGTHS)
        .exclude(plan__membership=without)
        .values("best")
        .annotate(
            all_plans=Count("pk"),
            all_exact=Count("pk", filter=exact),
        )
        .values_list("best", "all_exact", "all_plans")
    )
    return {best: Tally(exact, plans) for best, exact, plans in sorted(rows)}


def technique_line(
    code: str,
    member: int,
    looked: Looked,
    lost: Mapping[int, tuple[Tally, float]],
    picked: Mapping[int, tuple[Tally, float]],
) -> TechniqueLine:
    """One technique of one member, as the last look sees it."""
    reading = looked.readings[member][code]
    tally, rare = reading.tally, code in RARELY_CALLED
    return TechniqueLine(
        code=code,
        tally=tally,
        interval=statistics.wilson(tally.answered, tally.called) if tally.called else None,
        flag=looked.flags[member][code],
        below_target=reading.below_target,
        lean=reading.lean,
        group_more_often=not rare and reading.group_more_often,
        learning=looked.learns_with_all(member, code),
        more_needed=None if rare else statistics.more_needed(tally),
        lost=lost.get(member, NOTHING)[1],
        picked=picked.get(member, NOTHING)[0],
    )


def _totals(summaries: QuerySet[SetSummary]) -> dict[str, int]:
    names = (
        *("plans", "solved", "lost", "ends_on_bottom"),
        *("turns_cube_late", "back_turns", "half_turns"),
    )
    found = summaries.aggregate(**{f"all_{name}": Sum(name) for name in names})
    return {name: found[f"all_{name}"] or 0 for name in names}


def _weeks_of_new_rules(member: Membership, sets: Iterable[ScrambleSet]) -> set[date]:
    """The Mondays of weeks with a set that has other rules than the one before. One query."""
    known = ScrambleSet.objects.filter(pk__in=[one.pk for one in sets])
    rows = known.annotate(wanted=Count("scrambles")).order_by("opens_at")
    found: set[date] = set()
    before: tuple[object, ...] | None = None
    for colours, spelling, wanted, due_at in rows.values_list(
        "colours", "spelling", "wanted", "due_at"
    ):
        rules = (tuple(colours), spelling, wanted)
        if before is not None and rules != before:
            found.add(clock.week_of(clock.closing_day(due_at, member.club.zone)))
        before = rules
    return found


def _weeks(
    member: Membership,
    counting: QuerySet[Verdict],
    new_rules: Container[date],
    monday: date,
    weeks: int,
) -> tuple[Week, ...]:
    """Own plans by week of the set's closing day, each against the others on the same scrambles."""
    # An unsolved plan has no excess, so the cap stands in for it.
    points = Least(Coalesce("excess", CAP), CAP)
    sums: dict[int, tuple[int, int]] = {
        scramble: (total, count)
        for scramble, total, count in counting.values("plan__scramble_id")
        .annotate(all_points=Sum(points), all_plans=Count("pk"))
        .values_list("plan__scramble_id", "all_points", "all_plans")
    }
    own: dict[date, list[tuple[int, int, float | None]]] = defaultdict(list)
    rows = (
        counting.filter(plan__membership=member)
        .annotate(points=points)
        .values_list(
            "plan__scramble_id", "plan__scramble__scramble_set__due_at", "excess", "points"
        )
    )
    for scramble, due_at, excess, mine in rows:
        week = clock.week_of(clock.closing_day(due_at, member.club.zone))
        total, count = sums[scramble]
        against = mine - (total - mine) / (count - 1) if count > 1 else None
        own[week].append((excess or 0, mine, against))
    spans = []
    for number in range(weeks):
        begins = monday + timedelta(weeks=number)
        of_week = own.get(begins, [])
        differences = [against for _, _, against in of_week if against is not None]
        spans.append(
            Week(
                monday=begins,
                plans=len(of_week),
                lost=sum(excess for excess, _, _ in of_week),
                points=sum(mine for _, mine, _ in of_week),
                against_others=sum(differences) / len(differences) if differences else None,
                new_rules=begins in new_rules,
            )
        )
    return tuple(spans)
