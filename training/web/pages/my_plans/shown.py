"""A member's sets laid out with the plans, newest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.models import Membership
from training.selectors.earlier import MemberSet
from training.selectors.plans import SetView
from training.web.parts.set_cards import Card, cards_of, plan_card
from training.web.saying.rates import of
from training.web.saying.times import say_date

SETS_A_PAGE = 14


@dataclass(frozen=True, slots=True)
class OwnSet:
    """A set by its day, with its scrambles and what the plans for them were worth.

    ``said``: how many are planned, or why the plans cannot be read; empty for one's own.
    """

    day: str
    title: str
    href: str
    is_open: bool
    cards: tuple[Card, ...]
    said: str = ""


@dataclass(frozen=True, slots=True)
class MyPlansShown:
    """What ``pages/my_plans/my_plans.html`` needs. An address is empty where no more sets are.

    ``own``: the plans are the reader's; else ``member_href`` leads to the member's progress.
    ``day``: of the first set, for the field that asks for a day; ``last_day``: today.
    """

    own: bool
    title: str
    member: str
    member_href: str
    day: str
    last_day: str
    sets: tuple[OwnSet, ...]
    newer_href: str
    older_href: str


def show_my_plans(
    viewer: Membership, views: Sequence[SetView], now: datetime, *, start: int, there_are: int
) -> MyPlansShown:
    """Lay out a page of own sets, from the one ``start`` on of all that ``there_are``."""
    today = clock.local_date(now, viewer.club.zone)
    return MyPlansShown(
        own=True,
        title=_("My plans"),
        member="",
        member_href="",
        day=views[0].head.day.isoformat() if views else today.isoformat(),
        last_day=today.isoformat(),
        sets=tuple(_own_set(viewer, view, today) for view in views),
        newer_href=_newer(start),
        older_href=_older(start, there_are),
    )


def show_member_plans(
    viewer: Membership,
    whose: Membership,
    found: Sequence[MemberSet],
    now: datetime,
    *,
    start: int,
    there_are: int,
) -> MyPlansShown:
    """Lay out the same of somebody whom a coach reads."""
    today = clock.local_date(now, viewer.club.zone)
    return MyPlansShown(
        own=False,
        title=_("{name}’s plans").format(name=whose.display_name),
        member=whose.display_name,
        member_href=reverse("coach_member", args=[viewer.club.slug, whose.pk]),
        day=found[0].head.day.isoformat() if found else today.isoformat(),
        last_day=today.isoformat(),
        sets=tuple(_set_of_member(viewer, one, today) for one in found),
        newer_href=_newer(start),
        older_href=_older(start, there_are),
    )


def _newer(start: int) -> str:
    return f"?from={max(start - SETS_A_PAGE, 0)}" if start else ""


def _older(start: int, there_are: int) -> str:
    end = start + SETS_A_PAGE
    return f"?from={end}" if end < there_are else ""


def _set_of_member(viewer: Membership, one: MemberSet, today: date) -> OwnSet:
    slug = viewer.club.slug
    said = _("{planned} planned").format(planned=of(len(one.plans), one.scrambles))
    if one.sealed:
        said = _("You compete: these plans open to you once your own are in.")
    return OwnSet(
        day=say_date(one.head.day, today),
        title=one.head.title,
        href=reverse("coach_set", args=[slug, one.head.id]),
        is_open=one.head.is_open,
        cards=tuple(
            plan_card(plan, one.head, reverse("coach_plan", args=[slug, plan.id]))
            for plan in one.plans
        ),
        said=said,
    )


def _own_set(viewer: Membership, view: SetView, today: date) -> OwnSet:
    href = reverse("set", args=[viewer.club.slug, view.head.id])
    return OwnSet(
        day=say_date(view.head.day, today),
        title=view.head.title,
        href=href,
        is_open=view.head.is_open,
        cards=cards_of(view, href),
    )
