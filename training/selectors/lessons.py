"""The evidence for a lesson: where an idea cost most, and the rates around sets picked for it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

import numpy as np
from django.db.models import QuerySet, Sum
from django.db.models.fields.json import KT

from solverworker.atlas import atlas
from solverworker.report import PlanReport
from training import clock, statistics, visibility
from training.lesson_effect import LessonChange, LessonSaid
from training.models import (
    Membership,
    Scramble,
    ScrambleSet,
    TechniqueCount,
    Verdict,
)
from training.selectors.group_reviews import WEEKS
from training.selectors.lesson_changes import change_since
from training.selectors.reviews import TECHNIQUES, first_monday
from training.selectors.set_heads import SetHead, head_of
from training.statistics import Interval, Tally
from training.visibility import Sealed

SCRAMBLES, ANSWERED, MISSED = 3, 2, 1
GIVEN = 3


@dataclass(frozen=True, slots=True)
class ShownPlan:
    """A plan to show to the group. ``member`` is for the coach; pages hide it unless asked."""

    plan_id: int
    member: str
    canonical: str
    excess: int
    answered: bool
    report: PlanReport


@dataclass(frozen=True, slots=True)
class CostlyScramble:
    """A scramble of the group's own on which the technique cost most."""

    head: SetHead
    number: int
    text: str
    best: int
    lost: float
    plans: tuple[ShownPlan, ...]


@dataclass(frozen=True, slots=True)
class Rate:
    """Answered of called over some sets, with its interval where anything was called for."""

    tally: Tally
    interval: Interval | None


@dataclass(frozen=True, slots=True)
class Homework:
    """A picked set on a technique: its own rate, the as-drawn rates before and after it, and
    what may be said of the ``change``."""

    head: SetHead
    own: Rate
    before: Rate
    after: Rate
    change: LessonChange | LessonSaid


@dataclass(frozen=True, slots=True)
class Lesson:
    """The evidence for one technique as the next lesson."""

    code: str
    scrambles: tuple[CostlyScramble, ...]
    lengths: tuple[int, int]
    homework: tuple[Homework, ...]


def lesson(viewer: Membership, code: str, now: datetime, *, weeks: int = WEEKS) -> Lesson:
    """The evidence for a technique. Raises Sealed for no coach, and for no technique."""
    visibility.require_group(viewer)
    if code not in TECHNIQUES:
        raise Sealed
    monday = first_monday(viewer, now, weeks)
    since = clock.local_to_utc(monday, clock.MIDNIGHT, viewer.club.zone)
    sets = visibility.reviewed_sets(viewer, since, now)
    return Lesson(
        code=code,
        scrambles=_costly(viewer, code, sets, now),
        lengths=fitting_lengths(sets),
        homework=_homework(viewer, code, now, weeks),
    )


def fitting_lengths(sets: QuerySet[ScrambleSet]) -> tuple[int, int]:
    """A range of best lengths fitted to the group's level.

    From one below to the length up to which the group finds at least half of
    the crosses exactly; 4 to 6 while there is nothing to go by.
    """
    found: dict[int, list[int]] = defaultdict(lambda: [0, 0])
    rows = Verdict.objects.counting().in_sets(sets).values_list("best", "excess")
    for best, excess in rows:
        found[best][0] += excess == 0
        found[best][1] += 1
    within = [best for best, (exact, plans) in found.items() if 2 * exact >= plans]
    if not within:
        return (4, 6) if not found else (3, 5)
    longest = max(4, min(7, max(within)))
    return longest - 1, longest


def matching_crosses(code: str, shortest: int, longest: int) -> int | None:
    """How many of all crosses have a best of these lengths and call for a technique at the start.

    None while the atlas has yet to be made by a worker, and for no technique.
    """
    known = atlas()
    if known is None or code not in known.techniques:
        return None
    fitting = (known.distance >= shortest) & (known.distance <= longest)
    return int(np.count_nonzero(fitting & ((known.every & known.mask([code])) > 0)))


def _costly(
    viewer: Membership, code: str, sets: QuerySet[ScrambleSet], now: datetime
) -> tuple[CostlyScramble, ...]:
    verdicts = Verdict.objects.counting().in_sets(sets).filter(solved=True)
    cost: dict[int, Fraction] = defaultdict(Fraction)
    blamed = verdicts.filter(techniques__blame__has_key=code)
    for scramble, share in blamed.annotate(share=KT(f"techniques__blame__{code}")).values_list(
        "plan__scramble_id", "share"
    ):
        cost[scramble] += Fraction(share)
    dearest = sorted(cost, key=lambda pk: (-cost[pk], pk))[:SCRAMBLES]
    by_scramble: dict[int, list[Verdict]] = defaultdict(list)
    for verdict in verdicts.filter(plan__scramble__in=dearest).select_related("plan__membership"):
        by_scramble[verdict.plan.scramble_id].append(verdict)
    rows = Scramble.objects.select_related("scramble_set").in_bulk(dearest)
    found = []
    for pk in dearest:
        row = rows[pk]
        row.scramble_set.club = viewer.club
        shown = by_scramble[pk]
        found.append(
            CostlyScramble(
                head=head_of(row.scramble_set, now),
                number=row.number,
                text=row.text,
                best=shown[0].best,
                lost=float(cost[pk]),
                plans=_two_and_one(code, shown),
            )
        )
    return tuple(found)


def _two_and_one(code: str, verdicts: Sequence[Verdict]) -> tuple[ShownPlan, ...]:
    """Two plans that answered, shortest first, and the dearest of those that did not."""
    answered, missed = [], []
    reports = {one.plan_id: PlanReport.from_dict(one.report) for one in verdicts}
    for verdict in verdicts:
        use = reports[verdict.plan_id].techniques
        if use is None:
            continue
        share = Fraction(dict(use.blame).get(code, "0"))
        if code in use.answered or (code in use.used and not share):
            answered.append((verdict.excess or 0, verdict.plan_id, verdict))
        elif share:
            missed.append((-share, verdict.plan_id, verdict))
    shortest_first = [one[2] for one in sorted(answered, key=lambda one: one[:2])]
    dearest_first = [one[2] for one in sorted(missed, key=lambda one: one[:2])]
    chosen = [(one, True) for one in _unlike(shortest_first)[:ANSWERED]]
    chosen += [(one, False) for one in dearest_first[:MISSED]]
    return tuple(
        ShownPlan(
            plan_id=verdict.plan_id,
            member=verdict.plan.membership.display_name,
            canonical=verdict.plan.canonical,
            excess=verdict.excess or 0,
            answered=did,
            report=reports[verdict.plan_id],
        )
        for verdict, did in chosen
    )


def _unlike(verdicts: Sequence[Verdict]) -> list[Verdict]:
    """Plans in their order, those whose moves stood before put behind the others."""
    seen: set[str] = set()
    first: list[Verdict] = []
    again: list[Verdict] = []
    for verdict in verdicts:
        (again if verdict.plan.canonical in seen else first).append(verdict)
        seen.add(verdict.plan.canonical)
    return first + again


def _homework(viewer: Membership, code: str, now: datetime, weeks: int) -> tuple[Homework, ...]:
    """Picked sets on this technique, newest first: those to come, and the last that have opened."""
    picked = visibility.lesson_sets(viewer, code).order_by("-opens_at")
    found = []
    for one in (*picked.to_come(now), *picked.opened(now)[:GIVEN]):
        one.club = viewer.club
        span = timedelta(weeks=weeks)
        before = visibility.reviewed_sets(viewer, one.opens_at - span, one.opens_at)
        after = visibility.reviewed_sets(viewer, one.closes_at, one.closes_at + span)
        found.append(
            Homework(
                head=head_of(one, now),
                own=_rate(code, ScrambleSet.objects.filter(pk=one.pk)),
                before=_rate(code, before),
                after=_rate(code, after.closed(now)),
                change=change_since(viewer, code, one, now)
                if one.opens_at <= now
                else LessonSaid.TOO_EARLY,
            )
        )
    return tuple(found)


def _rate(code: str, sets: QuerySet[ScrambleSet]) -> Rate:
    found = TechniqueCount.objects.filter(
        scramble_set__in=sets, code=code, membership__competes=True
    ).aggregate(all_called=Sum("called"), all_answered=Sum("answered"))
    tally = Tally(found["all_answered"] or 0, found["all_called"] or 0)
    interval = statistics.wilson(tally.answered, tally.called) if tally.called else None
    return Rate(tally, interval)
