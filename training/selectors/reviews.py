"""What plans show of a member: techniques, where moves are lost, trend, examples.

Seen by that member and the coaches alone. Rates come from as-drawn sets only;
picked sets have a rate of their own, shown apart.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Avg, QuerySet, Sum

from solverworker.causes import IDEAS, RESIDUES
from training import clock, statistics, visibility
from training.models import (
    Drawn,
    Membership,
    ScrambleSet,
    SetSummary,
    TechniqueCount,
    Verdict,
)
from training.selectors.clubs import membership_in
from training.selectors.review_examples import Example, examples_of
from training.statistics import Interval, Tally, Trend

TECHNIQUES = tuple(IDEAS)
RARELY_CALLED = tuple(code for code, idea in IDEAS.items() if idea.rarely_called)
"""Called for so seldom on random crosses that a page never says how many more are needed."""

OTHER_CODES = tuple(RESIDUES)
WASTED = tuple(code for code, residue in RESIDUES.items() if residue.wasted)
WEEKS = 8
MOST_FLAGS = 2
MOST_EXAMPLES = 3


@dataclass(frozen=True, slots=True)
class TechniqueLine:
    """One technique of one member over the weeks looked at.

    ``interval`` is None without an opportunity, and not to be shown as a bare
    number below ``statistics.LEAST_CALLED``. ``more_needed`` is None where the
    technique is rarely called for. ``picked``: the same in sets picked for a lesson.
    """

    code: str
    tally: Tally
    interval: Interval | None
    flag: statistics.Flag
    more_needed: int | None
    lost: float
    picked: Tally


@dataclass(frozen=True, slots=True)
class Week:
    """One week's checked plans: own moves lost, and the difference to the group's mean."""

    monday: date
    plans: int
    lost: int
    against_group: float | None


@dataclass(frozen=True, slots=True)
class MemberReview:
    """A member's review: at most two things to work on, each with its evidence.

    ``thirds``: moves lost in the first third of plans, the middle, the last;
    ``stands_out``: which of them (0, 1, 2) clearly lost most, if any.
    """

    membership: Membership
    since: date
    plans: int
    solved: int
    lost: int
    to_work_on: tuple[TechniqueLine, ...]
    lines: tuple[TechniqueLine, ...]
    strong: tuple[TechniqueLine, ...]
    other_losses: tuple[tuple[str, float], ...]
    thirds: tuple[int, int, int]
    stands_out: int | None
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


def tallies(
    sets: QuerySet[ScrambleSet],
) -> dict[str, dict[int, tuple[Tally, float]]]:
    """By technique and membership: answered of called, and moves lost."""
    found: dict[str, dict[int, tuple[Tally, float]]] = defaultdict(dict)
    rows = (
        TechniqueCount.objects.filter(scramble_set__in=sets)
        .values("membership_id", "code")
        .annotate(all_called=Sum("called"), all_answered=Sum("answered"), all_lost=Sum("lost"))
        .values_list("membership_id", "code", "all_called", "all_answered", "all_lost")
    )
    for member, code, called, answered, lost in rows:
        found[code][member] = (Tally(answered, called), lost)
    return found


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
    as_drawn = visibility.reviewed_sets(viewer, since, now)
    picked = tallies(visibility.reviewed_sets(viewer, since, now, drawn=Drawn.PICKED))
    group = tallies(as_drawn)
    others = visibility.reviewed_members(viewer).exclude(pk=member.pk)
    # The member first; then everybody who is looked at.
    ranked = [member.pk, *others.values_list("pk", flat=True)]
    lines = tuple(
        technique_lines(code, ranked, group[code], picked[code])[0] for code in TECHNIQUES
    )
    needs = [one for one in lines if one.flag == statistics.Flag.NEEDS_WORK]
    needs.sort(key=lambda one: -one.lost)
    totals = _totals(SetSummary.objects.filter(membership=member, scramble_set__in=as_drawn))
    spans = _weeks(member, as_drawn, monday, weeks)
    differences = [one.against_group for one in spans if one.against_group is not None]
    thirds = (totals["lost_first"], totals["lost_middle"], totals["lost_last"])
    return MemberReview(
        membership=member,
        since=monday,
        plans=totals["plans"],
        solved=totals["solved"],
        lost=totals["lost"],
        to_work_on=tuple(needs[:MOST_FLAGS]),
        lines=lines,
        strong=tuple(one for one in lines if one.flag == statistics.Flag.STRONG),
        other_losses=tuple(
            (code, group[code][member.pk][1])
            for code in OTHER_CODES
            if member.pk in group[code] and group[code][member.pk][1] > 0
        ),
        thirds=thirds,
        stands_out=third_that_stands_out(thirds),
        weeks=spans,
        trend=statistics.trend(differences),
        examples=examples_of(member, as_drawn, now, TECHNIQUES, most_examples),
        ends_on_bottom=totals["ends_on_bottom"],
        turns_cube_late=totals["turns_cube_late"],
        back_turns=totals["back_turns"],
        half_turns=totals["half_turns"],
    )


NOTHING = (Tally(0, 0), 0.0)


def technique_lines(
    code: str,
    members: Sequence[int],
    group: Mapping[int, tuple[Tally, float]],
    picked: Mapping[int, tuple[Tally, float]],
) -> list[TechniqueLine]:
    """One technique of each of some members, against the group that they are."""
    shown = [group.get(member, NOTHING) for member in members]
    priors = statistics.priors([tally for tally, _ in shown])
    return [
        _line(code, tally, lost, prior, picked.get(member, NOTHING)[0])
        for member, (tally, lost), prior in zip(members, shown, priors, strict=True)
    ]


def _line(
    code: str, tally: Tally, lost: float, prior: statistics.Prior, picked: Tally
) -> TechniqueLine:
    rare = code in RARELY_CALLED
    return TechniqueLine(
        code=code,
        tally=tally,
        interval=statistics.wilson(tally.answered, tally.called) if tally.called else None,
        flag=statistics.Flag.UNKNOWN if rare else statistics.flag(tally, prior),
        more_needed=None if rare else statistics.more_needed(tally),
        lost=lost,
        picked=picked,
    )


def third_that_stands_out(thirds: Sequence[int]) -> int | None:
    """The third in which more than its share was lost, as far as the numbers carry.

    Its share is one third; the lower limit of what was seen must lie above it. Three
    thirds are looked at, so the limit is that of a third of the chance to err (Bonferroni).

    >>> third_that_stands_out((1, 2, 9)), third_that_stands_out((3, 4, 5))
    (2, None)
    """
    lost = sum(thirds)
    if lost < statistics.LEAST_CALLED:
        return None
    most = max(range(3), key=lambda third: thirds[third])
    level = 1 - (1 - statistics.LEVEL) / 3
    return most if statistics.wilson(thirds[most], lost, level).low > 1 / 3 else None


def _totals(summaries: QuerySet[SetSummary]) -> dict[str, int]:
    names = (
        *("plans", "solved", "lost", "lost_first", "lost_middle", "lost_last"),
        *("ends_on_bottom", "turns_cube_late", "back_turns", "half_turns"),
    )
    found = summaries.aggregate(**{f"all_{name}": Sum(name) for name in names})
    return {name: found[f"all_{name}"] or 0 for name in names}


def _weeks(
    member: Membership, sets: QuerySet[ScrambleSet], monday: date, weeks: int
) -> tuple[Week, ...]:
    """Own plans by week of the set's closing day, each against the group on the same scrambles."""
    solved = Verdict.objects.counting().in_sets(sets).filter(solved=True)
    means: dict[int, float] = dict(
        solved.values("plan__scramble_id")
        .annotate(mean=Avg("excess"))
        .values_list("plan__scramble_id", "mean")
    )
    own: dict[date, list[tuple[int, float]]] = defaultdict(list)
    rows = solved.filter(plan__membership=member).values_list(
        "plan__scramble_id", "plan__scramble__scramble_set__closes_at", "excess"
    )
    for scramble, closes_at, excess in rows:
        week = clock.week_of(clock.closing_day(closes_at, member.club.zone))
        own[week].append((excess or 0, means[scramble]))
    spans = []
    for number in range(weeks):
        begins = monday + timedelta(weeks=number)
        of_week = own.get(begins, [])
        against = [excess - mean for excess, mean in of_week]
        spans.append(
            Week(
                monday=begins,
                plans=len(of_week),
                lost=sum(excess for excess, _ in of_week),
                against_group=sum(against) / len(against) if against else None,
            )
        )
    return tuple(spans)
