"""The evidence for a lesson on a habit: a kind of slip, undone moves, the choice of colour."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from solverworker.report import SLIPS
from training import clock, visibility
from training.account import slip_of_each
from training.models import Membership, PlanKind, ScrambleSet, Verdict
from training.selectors.accounts import accounts_of
from training.selectors.clubs import groups_of
from training.selectors.given_lessons import GivenLesson, given_lessons, sharing
from training.selectors.group_reviews import HABITS, WEEKS
from training.selectors.lesson_changes import LessonLooked, change_since
from training.selectors.lessons import GIVEN, reviewed_of
from training.selectors.review_examples import blame_of, slips_of
from training.selectors.reviewed_sets import sets_in_review
from training.selectors.reviews import first_monday
from training.selectors.set_heads import SetHead, head_of, load_named
from training.visibility import Sealed

MOST_PLANS = 6
MOST_READ = 400
"""The newest plans that are looked through for those that show a habit."""


@dataclass(frozen=True, slots=True)
class Costing:
    """What a habit cost one member, of all points. ``plans``: by a slip, else None."""

    member: str
    points: Fraction
    total: Fraction
    plans: int | None


@dataclass(frozen=True, slots=True)
class HabitPlan:
    """A plan that shows a habit. ``lost``: moves, of a solved one; ``member`` is for the coach."""

    plan_id: int
    member: str
    head: SetHead
    number: int
    scramble: str
    canonical: str
    lost: Fraction | None


@dataclass(frozen=True, slots=True)
class HeldLesson:
    """A lesson on the habit that a coach noted, and what changed since.

    ``members``: how many were taught; ``looked``: plans without the habit, of all;
    ``sharing``: other lessons to which a change may be due as well.
    """

    note_id: int
    day: date
    members: int
    looked: LessonLooked
    sharing: tuple[GivenLesson, ...]


@dataclass(frozen=True, slots=True)
class HabitLesson:
    """A habit as the next lesson: whom it costs, dearest first, plans that show it; those held.

    ``groups``: of the club, by name.
    """

    code: str
    weeks: int
    points: Fraction
    costs: tuple[Costing, ...]
    plans: tuple[HabitPlan, ...]
    held: tuple[HeldLesson, ...]
    groups: tuple[str, ...]


def habit_lesson(
    viewer: Membership, code: str, now: datetime, *, weeks: int = WEEKS, group: str = ""
) -> HabitLesson:
    """The evidence for a habit; with a ``group``: by the plans of who is in it now.

    Which lessons were held is told of everybody. Raises Sealed for no coach, no habit, no such
    group.
    """
    visibility.require_group(viewer)
    if code not in HABITS:
        raise Sealed
    monday = first_monday(viewer, now, weeks)
    since = clock.local_to_utc(monday, clock.MIDNIGHT, viewer.club.zone)
    sets = sets_in_review(viewer, since, now)
    people = reviewed_of(viewer, group, now)
    if people is None:
        people = list(visibility.reviewed_members(viewer))
    accounts = accounts_of(people, sets)
    costs = [
        Costing(
            member=one.display_name,
            points=accounts[one.pk].of_heading(code),
            total=accounts[one.pk].total,
            plans=accounts[one.pk].unsolved.get(code, 0) if code in SLIPS else None,
        )
        for one in people
    ]
    return HabitLesson(
        code=code,
        weeks=weeks,
        points=sum((one.points for one in costs), Fraction(0)),
        costs=tuple(sorted((one for one in costs if one.points), key=lambda one: -one.points)),
        plans=_plans(viewer, code, [one.pk for one in people], sets, now),
        held=_held(viewer, code, now),
        groups=groups_of(viewer.club),
    )


def _held(viewer: Membership, code: str, now: datetime) -> tuple[HeldLesson, ...]:
    """The last lessons that were held on a habit, the newest first."""
    given = given_lessons(viewer, now)
    return tuple(
        HeldLesson(
            note_id=one.note_id,
            day=one.day,
            members=len(one.members or ()),
            looked=change_since(viewer, one, given, now),
            sharing=sharing(one, given),
        )
        for one in [one for one in given if one.code == code][:GIVEN]
        if one.note_id is not None
    )


def _plans(
    viewer: Membership,
    code: str,
    members: Sequence[int],
    sets: Iterable[ScrambleSet],
    now: datetime,
) -> tuple[HabitPlan, ...]:
    """Plans that show a habit: of a slip the newest, else those that lost most to it.

    Of those that show the same slip, plans that nothing else explains come first.
    """
    verdicts = (
        Verdict.objects.counting()
        .in_sets(sets)
        .filter(plan__membership__in=members)
        .exclude(plan__kind=PlanKind.NO_PLAN)
        .select_related("plan__membership", "plan__scramble__scramble_set")
        .order_by("-plan__handed_in_at", "-pk")
    )
    shown: list[tuple[Fraction, Fraction | None, Verdict]] = []
    if code in SLIPS:
        unsolved = verdicts.filter(solved=False).prefetch_related(
            "plan__scramble__scramble_set__scrambles"
        )
        # Each plan stands where its points do: a member's plans explain each other.
        of_member: dict[int, list[tuple[tuple[str, ...], Verdict]]] = defaultdict(list)
        for verdict in unsolved[:MOST_READ]:
            of_member[verdict.plan.membership_id].append((slips_of(verdict), verdict))
        for theirs in of_member.values():
            each = slip_of_each([kinds for kinds, _ in theirs])
            shown += [
                (Fraction(len(kinds)), None, verdict)
                for slip, (kinds, verdict) in zip(each, theirs, strict=True)
                if slip == code
            ]
        shown.sort(key=lambda one: one[2].plan.handed_in_at, reverse=True)
    else:
        wasted = verdicts.filter(solved=True, techniques__blame__has_key=code)
        for verdict in wasted.order_by("-excess", "-pk")[:MOST_READ]:
            share = dict(blame_of(verdict)).get(code, Fraction(0))
            shown.append((-share, share, verdict))
    shown.sort(key=lambda one: one[0])
    # The same moves for the same scramble show nothing a second time.
    unlike: dict[tuple[int, str], tuple[Fraction | None, Verdict]] = {}
    for _, lost, verdict in shown:
        unlike.setdefault((verdict.plan.scramble_id, verdict.plan.canonical), (lost, verdict))
    chosen = list(unlike.values())[:MOST_PLANS]
    load_named(verdict.plan.scramble.scramble_set for _, verdict in chosen)
    return tuple(_habit_plan(viewer, verdict, lost, now) for lost, verdict in chosen)


def _habit_plan(
    viewer: Membership, verdict: Verdict, lost: Fraction | None, now: datetime
) -> HabitPlan:
    plan = verdict.plan
    plan.scramble.scramble_set.club = viewer.club
    return HabitPlan(
        plan_id=plan.pk,
        member=plan.membership.display_name,
        head=head_of(plan.scramble.scramble_set, now),
        number=plan.scramble.number,
        scramble=plan.scramble.text,
        canonical=plan.canonical,
        lost=lost,
    )
