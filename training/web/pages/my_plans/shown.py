"""A member's sets laid out with the plans, newest first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.models import Membership
from training.selectors.earlier import MemberSet
from training.selectors.own_months import MonthOfSets
from training.selectors.plans import PlanView, SetView, State
from training.web.navigation import Link
from training.web.parts.set_cards import Card, cards_of, plan_card
from training.web.saying.counting import count
from training.web.saying.rates import of
from training.web.saying.times import say_month, say_week


@dataclass(frozen=True, slots=True)
class OwnSet:
    """A set by its day, with its scrambles and what the plans for them were worth.

    ``said``: how many are planned and what is known of them, or why the plans cannot be read.
    ``unfolded``: the newest of the page, whose plans stand there at once.
    """

    day: str
    title: str
    href: str
    is_open: bool
    cards: tuple[Card, ...]
    said: str
    unfolded: bool


@dataclass(frozen=True, slots=True)
class MonthChoice:
    """A month to choose: as its address has it, by its name."""

    value: str
    name: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class MyPlansShown:
    """What ``pages/my_plans/my_plans.html`` needs.

    ``own``: the plans are the reader's; else ``member_href`` leads to the member's progress.
    ``months``: from the newest with a set back to the first; ``around``: the nearest two.
    """

    own: bool
    title: str
    member: str
    member_href: str
    month: str
    months: tuple[MonthChoice, ...]
    sets: tuple[OwnSet, ...]
    around: tuple[Link, ...]


def show_my_plans(
    viewer: Membership, month: MonthOfSets, views: Sequence[SetView], now: datetime
) -> MyPlansShown:
    """Lay out a month of own sets."""
    today = clock.local_date(now, viewer.club.zone)
    return MyPlansShown(
        own=True,
        title=_("My plans"),
        member="",
        member_href="",
        month=say_month(month.month, today),
        months=_months(month, today),
        sets=tuple(_own_set(viewer, one, today, first=not at) for at, one in enumerate(views)),
        around=_around(month, today),
    )


def show_member_plans(
    viewer: Membership,
    whose: Membership,
    month: MonthOfSets,
    found: Sequence[MemberSet],
    now: datetime,
) -> MyPlansShown:
    """Lay out the same of somebody whom a coach reads."""
    today = clock.local_date(now, viewer.club.zone)
    return MyPlansShown(
        own=False,
        title=_("{name}’s plans").format(name=whose.display_name),
        member=whose.display_name,
        member_href=reverse("coach_member", args=[viewer.club.slug, whose.pk]),
        month=say_month(month.month, today),
        months=_months(month, today),
        sets=tuple(_of_member(viewer, one, today, first=not at) for at, one in enumerate(found)),
        around=_around(month, today),
    )


def _months(found: MonthOfSets, today: date) -> tuple[MonthChoice, ...]:
    """From the newest month back to the first, and the one that is shown."""
    choices = []
    month = max(found.last or found.month, found.month)
    while month >= min(found.first or found.month, found.month):
        choices.append(MonthChoice(f"{month:%Y-%m}", say_month(month, today), month == found.month))
        month = (month - timedelta(days=1)).replace(day=1)
    return tuple(choices)


def _around(found: MonthOfSets, today: date) -> tuple[Link, ...]:
    return tuple(
        Link(words.format(month=say_month(one, today)), f"?month={one:%Y-%m}", False)
        for words, one in (
            (_("Later: {month}"), found.after),
            (_("Earlier: {month}"), found.before),
        )
        if one is not None
    )


def _of_member(viewer: Membership, one: MemberSet, today: date, *, first: bool) -> OwnSet:
    slug = viewer.club.slug
    return OwnSet(
        day=say_week(one.head.day, today),
        title=one.head.title,
        href=reverse("coach_set", args=[slug, one.head.id]),
        is_open=one.head.is_open,
        cards=tuple(
            plan_card(plan, one.head, reverse("coach_plan", args=[slug, plan.id]))
            for plan in one.plans
        ),
        said=_("You compete: these plans open to you once your own are in.")
        if one.sealed
        else worth((p for p in one.plans if p.number in one.counting), len(one.counting)),
        unfolded=first,
    )


def _own_set(viewer: Membership, view: SetView, today: date, *, first: bool) -> OwnSet:
    href = reverse("set", args=[viewer.club.slug, view.head.id])
    counting = [one for one in view.scrambles if one.state != State.VOID]
    return OwnSet(
        day=say_week(view.head.day, today),
        title=view.head.title,
        href=href,
        is_open=view.head.is_open,
        cards=cards_of(view, href),
        said=worth((one.plan for one in counting if one.plan is not None), len(counting)),
        unfolded=first,
    )


def worth(plans: Iterable[PlanView], crosses: int) -> str:
    """How many of a set's crosses are planned, and what the reader may know of the plans."""
    known = list(plans)
    # A withdrawn plan has a report, and is worth nothing.
    done = [one for one in known if one.state == State.CHECKED and one.report is not None]
    # What is out of time counts 8, however well it solves.
    late = sum(one.out_of_time for one in done)
    solved = [one.report for one in done if one.report is not None and not one.out_of_time]
    over = sum(one.excess or 0 for one in solved)
    exact = sum(one.excess == 0 for one in solved)
    unsolved = sum(one.state == State.NOT_SOLVED for one in known)
    said = [_("{planned} planned").format(planned=of(len(known), crosses))]
    if exact:
        said.append(_("{number} exactly the best").format(number=exact))
    if over:
        said.append(_("{moves} over the best").format(moves=count(over, "move")))
    if unsolved:
        said.append(_("{number} not solved").format(number=unsolved))
    if late:
        said.append(_("{number} out of time").format(number=late))
    return " · ".join(said)
