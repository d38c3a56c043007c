"""A club's calendar as a file that calendar programs read (RFC 5545, by icalendar)."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils.translation import gettext as _
from icalendar import Calendar, Event

from training.selectors.calendar_events import ClubCalendar, SetEvent
from training.web.saying.series import kind_in_words

ASK_AGAIN = timedelta(hours=1)
"""How often a program is asked to look (RFC 7986, section 5.7)."""


def as_file(found: ClubCalendar, page: str, now: datetime) -> bytes:
    """The calendar with an event for each set and each day off; ``page``: where sets are planned.

    Times are instants in UTC, so that no program needs to know the club's zone.
    """
    made = Calendar()
    made.add("prodid", "-//Within Eight//Club calendar//EN")
    made.add("version", "2.0")
    made.add("method", "PUBLISH")
    made.add("x-wr-calname", found.club)
    made.add("refresh-interval", ASK_AGAIN, parameters={"VALUE": "DURATION"})
    for one in found.sets:
        made.add_component(_set(one, found, page, now))
    for day in found.days_off:
        off = Event()
        off.add("uid", f"day-off-{day}@{found.slug}.within-eight")
        off.add("dtstamp", now)
        off.add("dtstart", day)
        off.add("dtend", day + timedelta(days=1))
        off.add("summary", _("{club}: day off").format(club=found.club))
        off.add("transp", "TRANSPARENT")
        made.add_component(off)
    file: bytes = made.to_ical()
    return file


def _set(one: SetEvent, found: ClubCalendar, page: str, now: datetime) -> Event:
    event = Event()
    event.add("uid", f"{one.key}@{found.slug}.within-eight")
    event.add("dtstamp", now)
    event.add("dtstart", one.opens_at)
    event.add("dtend", one.closes_at)
    event.add("summary", _("{club}: {kind}").format(club=found.club, kind=kind_in_words(one.kind)))
    event.add("url", page)
    event.add("transp", "TRANSPARENT")
    return event
