"""The page about the calendar, and the lines to copy for the club's chat."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from training.models import Membership
from training.selectors.coach import CoachSet
from training.web.saying.counting import listed
from training.web.saying.times import Said, say


@dataclass(frozen=True, slots=True)
class CalendarShown:
    """What ``pages/calendar/calendar.html`` needs. ``address``: told this once; empty otherwise."""

    made: Said | None
    address: str


@dataclass(frozen=True, slots=True)
class StillToCome:
    """An open set for the chat: ``text`` has no name in it; ``names`` stay on this screen."""

    title: str
    text: str
    names: str


def show_calendar(
    viewer: Membership, made_at: datetime | None, address: str, now: datetime
) -> CalendarShown:
    """Lay out the address of the viewer's calendar."""
    return CalendarShown(say(made_at, now, viewer.club.zone) if made_at else None, address)


def still_to_come(
    viewer: Membership, sets: Iterable[CoachSet], page: str, now: datetime
) -> tuple[StillToCome, ...]:
    """What is still to come of each set that is open, to copy."""
    return tuple(_still(viewer, one, page, now) for one in sets if one.head.is_open)


def _still(viewer: Membership, one: CoachSet, page: str, now: datetime) -> StillToCome:
    closes = say(one.head.closes_at, now, viewer.club.zone)
    missing = len(one.missing)
    how_many = (
        ngettext("%(number)d still to come.", "%(number)d still to come.", missing)
        % {"number": missing}
        if missing
        else _("Everybody has begun.")
    )
    lines = (
        _("{set}: closes {time}.").format(set=one.head.title, time=closes.text),
        how_many,
        page,
    )
    names = listed([each.member for each in one.missing])
    return StillToCome(one.head.title, "\n".join(lines), names)
