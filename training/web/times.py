"""Times as a person says them, in the club's own zone, with the exact time beside."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


@dataclass(frozen=True, slots=True)
class Said:
    """What ``parts/time.html`` needs: the words, the machine's form (UTC) and the exact form."""

    text: str
    iso: str
    exact: str

    @property
    def bare(self) -> str:
        """The words after "until" or "from", which bear no "on"."""
        return self.text.removeprefix("on ")


def say_date(day: date, today: date) -> str:
    """A date with its weekday; the year only when it is another one.

    >>> say_date(date(2026, 11, 24), date(2026, 11, 25))
    'Tuesday 24 November'
    """
    year = "" if day.year == today.year else f" {day.year}"
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}{year}"


def say_day(day: date, today: date) -> str:
    """A day near ``today`` by its name, any other by its date.

    >>> today = date(2026, 11, 25)
    >>> [say_day(today + timedelta(days=n), today) for n in (-1, 0, 1)]
    ['yesterday', 'today', 'tomorrow']
    >>> say_day(date(2026, 11, 28), today), say_day(date(2026, 11, 20), today)
    ('Saturday', 'Friday 20 November')
    """
    away = (day - today).days
    if away in (-1, 0, 1):
        return {-1: "yesterday", 0: "today", 1: "tomorrow"}[away]
    if 1 < away < 7:
        return WEEKDAYS[day.weekday()]
    return say_date(day, today)


def say(instant: datetime, now: datetime, zone: ZoneInfo) -> Said:
    """Say ``instant`` to somebody who lives in ``zone`` and asks at ``now``.

    Midnight belongs to the day that ends there, as people mean it. Reads on
    after a verb: "closes …", "closed …", "handed in …".

    >>> zone = ZoneInfo("Europe/Oslo")
    >>> now = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
    >>> say(datetime(2026, 11, 25, 19, 0, tzinfo=UTC), now, zone).text
    'today at 20:00'
    >>> say(datetime(2026, 11, 25, 23, 0, tzinfo=UTC), now, zone).text
    'tonight at midnight'
    """
    there = instant.astimezone(zone)
    today = now.astimezone(zone).date()
    day = there.date()
    if there.time() == time(0, 0):
        ends = day - timedelta(days=1)
        if day == today:
            text = "at midnight"
        elif ends == today:
            text = "tonight at midnight"
        else:
            text = f"{say_day(ends, today)} at midnight"
    else:
        text = f"{say_day(day, today)} at {there:%H:%M}"
    if text[0].isupper():
        text = f"on {text}"
    return _said(text, instant, zone)


def say_short(instant: datetime, now: datetime, zone: ZoneInfo) -> Said:
    """The clock alone for today, the date alone for any other day: for columns of a table.

    >>> zone = ZoneInfo("Europe/Oslo")
    >>> now = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
    >>> say_short(datetime(2026, 11, 25, 8, 21, tzinfo=UTC), now, zone).text
    '09:21'
    >>> say_short(datetime(2026, 11, 24, 8, 21, tzinfo=UTC), now, zone).text
    'yesterday'
    """
    there = instant.astimezone(zone)
    today = now.astimezone(zone).date()
    same = there.date() == today
    return _said(f"{there:%H:%M}" if same else say_day(there.date(), today), instant, zone)


def _said(text: str, instant: datetime, zone: ZoneInfo) -> Said:
    there = instant.astimezone(zone)
    exact = f"{say_date(there.date(), date.min)}, {there:%H:%M}, {zone.key}"
    return Said(text, instant.astimezone(UTC).isoformat(timespec="seconds"), exact)
