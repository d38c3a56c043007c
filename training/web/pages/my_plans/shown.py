"""A member's own sets laid out, newest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.urls import reverse

from training import clock
from training.models import Membership
from training.selectors.plans import SetView
from training.web.parts.set_cards import Card, cards_of
from training.web.saying.times import say_date

SETS_A_PAGE = 14


@dataclass(frozen=True, slots=True)
class OwnSet:
    """A set by its day, with its scrambles and what the plans for them were worth."""

    day: str
    href: str
    is_open: bool
    cards: tuple[Card, ...]


@dataclass(frozen=True, slots=True)
class MyPlansShown:
    """What ``pages/my_plans/my_plans.html`` needs. An address is empty where no more sets are."""

    sets: tuple[OwnSet, ...]
    newer_href: str
    older_href: str


def show_my_plans(
    viewer: Membership, views: Sequence[SetView], now: datetime, *, start: int, there_are: int
) -> MyPlansShown:
    """Lay out a page of own sets, from the one ``start`` on of all that ``there_are``."""
    today = clock.local_date(now, viewer.club.zone)
    end = start + SETS_A_PAGE
    return MyPlansShown(
        sets=tuple(_own_set(viewer, view, today) for view in views),
        newer_href=f"?from={max(start - SETS_A_PAGE, 0)}" if start else "",
        older_href=f"?from={end}" if end < there_are else "",
    )


def _own_set(viewer: Membership, view: SetView, today: date) -> OwnSet:
    href = reverse("set", args=[viewer.club.slug, view.head.id])
    return OwnSet(
        day=say_date(view.head.day, today),
        href=href,
        is_open=view.head.is_open,
        cards=cards_of(view, href),
    )
