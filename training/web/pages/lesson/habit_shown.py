"""A lesson on a habit laid out: what it is, what to say, whom it costs, plans that show it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.headings import heading
from training.models import Membership
from training.selectors.habit_lessons import Costing, HabitLesson, HabitPlan
from training.web.pages.lesson.addresses import addresses
from training.web.pages.lesson.habit_words import habit_exercise, habit_meaning
from training.web.pages.lesson.looked_shown import LookedShown, compared_words, show_looked
from training.web.pictures.bar import Bar, loss_bar
from training.web.saying.counting import count
from training.web.saying.rates import points, points_words, share_of_moves
from training.web.saying.sets import scramble_of
from training.web.saying.times import say_date


@dataclass(frozen=True, slots=True)
class CostShown:
    """What the habit cost one member, with the plans where it is a slip."""

    member: str
    points: str
    bar: Bar
    plans: str


@dataclass(frozen=True, slots=True)
class HabitPlanShown:
    """A plan that shows the habit. ``member`` and ``href`` are empty while names are hidden."""

    where: str
    member: str
    href: str
    scramble: str
    moves: str
    lost: str


@dataclass(frozen=True, slots=True)
class HeldShown:
    """A lesson that was held, and what changed since. ``note``: the number of its note."""

    note: int
    when: str
    taught: str
    looked: LookedShown


@dataclass(frozen=True, slots=True)
class HabitShown:
    """What ``pages/lesson/habit.html`` needs beside the form.

    ``costs`` is empty while ``names`` are hidden; ``compared``: how the weeks around a lesson that
    was ``held`` are compared.
    """

    here: str
    names_href: str
    review_href: str
    everybody_href: str
    group: str
    habit: str
    meaning: str
    say: str
    exercise: str
    names: bool
    cost: str
    costs: tuple[CostShown, ...]
    plans: tuple[HabitPlanShown, ...]
    held: tuple[HeldShown, ...]
    compared: str


def show_habit(
    viewer: Membership, found: HabitLesson, now: datetime, *, names: bool, group: str
) -> HabitShown:
    """Lay out a lesson on a habit; without ``names`` it can be shown to the group."""
    told = heading(found.code)
    today = clock.local_date(now, viewer.club.zone)
    most = max((float(one.points) for one in found.costs), default=0.0)
    return HabitShown(
        **addresses(viewer, found.code, group),
        habit=str(told.name),
        meaning=habit_meaning(found.code),
        say=str(told.to_do),
        exercise=habit_exercise(found.code),
        names=names,
        cost=_cost(found),
        costs=tuple(_of_member(one, most) for one in found.costs) if names else (),
        plans=tuple(_plan(viewer, one, today, names=names) for one in found.plans),
        held=tuple(
            HeldShown(
                note=one.note_id,
                when=say_date(one.day, today),
                taught=count(one.members, "member"),
                looked=show_looked(one.looked, found.code, one.sharing, today),
            )
            for one in found.held
        ),
        compared=compared_words(found.code),
    )


def _cost(found: HabitLesson) -> str:
    if not found.costs:
        return _("It cost nobody a point in the last {weeks}.").format(
            weeks=count(found.weeks, "week")
        )
    return _("It cost {points} in the last {weeks}, from {members}.").format(
        points=points_words(found.points),
        weeks=count(found.weeks, "week"),
        members=count(len(found.costs), "member"),
    )


def _of_member(one: Costing, most: float) -> CostShown:
    return CostShown(
        member=one.member,
        points=_("{part} of {whole}").format(part=points(one.points), whole=points(one.total)),
        bar=loss_bar(float(one.points), most),
        plans="" if one.plans is None else count(one.plans, "plan"),
    )


def _plan(viewer: Membership, one: HabitPlan, today: date, *, names: bool) -> HabitPlanShown:
    return HabitPlanShown(
        where=scramble_of(one.head, one.number, today),
        member=one.member if names else "",
        href=reverse("coach_plan", args=[viewer.club.slug, one.plan_id]) if names else "",
        scramble=one.scramble,
        moves=one.canonical,
        lost=_("not solved") if one.lost is None else share_of_moves(float(one.lost)),
    )
