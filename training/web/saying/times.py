"""Times as a person says them, in the club's own zone, with the exact time beside."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.utils import dates
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

WEEKDAYS = dates.WEEKDAYS
"""Names of the days, Monday = 0, in the reader's tongue when they are said."""


@dataclass(frozen=True, slots=True)
class Said:
    """A time in words, with the machine's form (UTC) and the exact one. A template writes it whole.

    ``plain``: the words after "until" or "from", which bear no "on"; empty where they are the same.
    """

    text: str
    iso: str
    exact: str
    plain: str = ""

    @property
    def bare(self) -> Said:
        """The same after "until" or "from"."""
        return Said(self.plain or self.text, self.iso, self.exact)

    def __str__(self) -> SafeString:
        """The time as HTML: one element, so that a full stop can stand right behind it."""
        return format_html(
            '<time datetime="{}" title="{}">{}</time>', self.iso, self.exact, self.text
        )


def say_date(day: date, today: date) -> str:
    """A date with its weekday; the year only when it is another one.

    >>> say_date(date(2026, 11, 24), date(2026, 11, 25))
    'Tuesday 24 November'
    """
    parts = {
        "weekday": WEEKDAYS[day.weekday()],
        "day": day.day,
        "month": dates.MONTHS[day.month],
        "year": day.year,
    }
    if day.year == today.year:
        return _("{weekday} {day} {month}").format(**parts)
    return _("{weekday} {day} {month} {year}").format(**parts)


def say_week(day: date, today: date) -> str:
    """A date whose weekday stands beside it, as that of a week; the year only when it is another.

    >>> say_week(date(2026, 11, 23), date(2026, 11, 25))
    '23 November'
    """
    parts = {"day": day.day, "month": dates.MONTHS[day.month], "year": day.year}
    if day.year == today.year:
        return _("{day} {month}").format(**parts)
    return _("{day} {month} {year}").format(**parts)


def say_month(month: date, today: date) -> str:
    """A month by its name; the year only when it is another one.

    >>> say_month(date(2026, 10, 1), date(2026, 11, 25))
    'October'
    >>> say_month(date(2025, 12, 1), date(2026, 11, 25))
    'December 2025'
    """
    name = dates.MONTHS[month.month]
    if month.year == today.year:
        return str(name)
    return _("{month} {year}").format(month=name, year=month.year)


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
        return {-1: _("yesterday"), 0: _("today"), 1: _("tomorrow")}[away]
    if 1 < away < 7:
        return str(WEEKDAYS[day.weekday()])
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
            return _said(_("at midnight"), instant, zone)
        if ends == today:
            return _said(_("tonight at midnight"), instant, zone)
        plain = _("{day} at midnight").format(day=say_day(ends, today))
        day = ends
    else:
        plain = _("{day} at {time}").format(day=say_day(day, today), time=f"{there:%H:%M}")
    if abs((day - today).days) <= 1:
        return _said(plain, instant, zone)
    return _said(_("on {day_and_time}").format(day_and_time=plain), instant, zone, plain)


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


def _said(text: str, instant: datetime, zone: ZoneInfo, plain: str = "") -> Said:
    there = instant.astimezone(zone)
    exact = f"{say_date(there.date(), date.min)}, {there:%H:%M}, {zone.key}"
    return Said(text, instant.astimezone(UTC).isoformat(timespec="seconds"), exact, plain)
