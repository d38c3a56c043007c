"""Series and days off laid out: what they are called, and what a form sends of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.models import Membership
from training.selectors import clubs
from training.web.saying.series import name_of, rule_in_words
from training.web.saying.times import say_date


@dataclass(frozen=True, slots=True)
class DayOffShown:
    """A day off: its date as a form sends it, in words, and with its reason."""

    iso: str
    day: str
    said: str


@dataclass(frozen=True, slots=True)
class SeriesLink:
    """A series of the club: what it is called, in words what it does, and its page."""

    name: str
    said: str
    href: str


def show_series(viewer: Membership) -> tuple[SeriesLink, ...]:
    """The series that come again, in the order in which they were made."""
    return tuple(
        SeriesLink(
            name_of(one),
            rule_in_words(one),
            reverse("series", args=[viewer.club.slug, one.pk]),
        )
        for one in clubs.series_of(viewer.club)
    )


def days_off(viewer: Membership, now: datetime) -> tuple[DayOffShown, ...]:
    """The days off from today on, earliest first."""
    today = clock.local_date(now, viewer.club.zone)
    return tuple(
        DayOffShown(one.day.isoformat(), day, _said(day, one.reason))
        for one in clubs.days_off(viewer.club, from_day=today)
        for day in (say_date(one.day, today),)
    )


def _said(day: str, reason: str) -> str:
    return _("{day}: {reason}").format(day=day, reason=reason) if reason else day
