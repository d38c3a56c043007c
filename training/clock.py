"""A club's own clock: from local dates and times to instants in UTC.

Pure functions over :mod:`zoneinfo`. Windows are stored as UTC instants and
compared as such; the club's zone only decides which instants a day has.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Literal
from zoneinfo import ZoneInfo, available_timezones

Edge = Literal["opening", "closing"]

MIDNIGHT = time(0, 0)

YEARS = range(2000, 2101)
"""Years of which anything is looked for: sums with dates stay far from the calendar's ends."""


def is_in_reach(day: date) -> bool:
    """Whether anything is looked for on that day.

    >>> is_in_reach(date(2026, 11, 25)), is_in_reach(date.min), is_in_reach(date.max)
    (True, False, False)
    """
    return day.year in YEARS


@dataclass(frozen=True, slots=True)
class Window:
    """When a set is open: from ``opens_at`` (included) to ``closes_at`` (not included), in UTC."""

    opens_at: datetime
    closes_at: datetime


def zones() -> list[str]:
    """The IANA time zones that a club may choose: those of a place, by region, and UTC.

    >>> "Europe/Oslo" in zones(), "Mars/Olympus" in zones(), zones()[-1]
    (True, False, 'UTC')
    """
    left_out = ("Etc/", "SystemV/", "posix/", "right/")
    named = sorted(one for one in available_timezones() if "/" in one)
    return [one for one in named if not one.startswith(left_out)] + ["UTC"]


def local_to_utc(day: date, at: time, zone: ZoneInfo, edge: Edge = "opening") -> datetime:
    """The instant at which the clocks of ``zone`` show ``at`` on ``day``.

    Where clocks are put forward over that time there is no such instant: the
    first one after the gap is given. Where they are put back the time comes
    twice: the first for ``opening``, the second for ``closing``, so that a set
    is never shorter than its hours say.

    >>> local_to_utc(date(2026, 4, 24), MIDNIGHT, ZoneInfo("Africa/Cairo")).isoformat()
    '2026-04-23T22:00:00+00:00'
    """
    wall = datetime.combine(day, at)
    early = wall.replace(tzinfo=zone, fold=0)
    late = wall.replace(tzinfo=zone, fold=1)
    if early.utcoffset() == late.utcoffset():
        return early.astimezone(UTC)
    if _exists(wall, zone):
        return (late if edge == "closing" else early).astimezone(UTC)
    return _end_of_gap(late.astimezone(UTC), early.astimezone(UTC), zone)


def _exists(wall: datetime, zone: ZoneInfo) -> bool:
    there = wall.replace(tzinfo=zone, fold=0).astimezone(UTC).astimezone(zone)
    return there.replace(tzinfo=None) == wall


def _end_of_gap(before: datetime, after: datetime, zone: ZoneInfo) -> datetime:
    """The instant of the change between ``before`` and ``after`` (UTC), by halving."""
    offset = before.astimezone(zone).utcoffset()
    while after - before > timedelta(seconds=1):
        middle = before + timedelta(seconds=(after - before) // timedelta(seconds=2))
        if middle.astimezone(zone).utcoffset() == offset:
            before = middle
        else:
            after = middle
    return after


def window_of_day(
    day: date, opens: time, closes: time, zone: ZoneInfo, days_later: int = 0
) -> Window:
    """The window of a set that opens on ``day`` and closes ``days_later``.

    With none, ``closes`` at or before ``opens`` means the following day: midnight
    to midnight is ``00:00`` to ``00:00``. A window that a change of clocks would
    leave empty is given the hour after its opening.
    """
    closing_day = day + timedelta(days=days_later or (0 if closes > opens else 1))
    # A shared midnight must be one instant, or days would overlap where it comes twice.
    edge: Edge = "opening" if closes == opens else "closing"
    opens_at = local_to_utc(day, opens, zone, "opening")
    closes_at = local_to_utc(closing_day, closes, zone, edge)
    if closes_at <= opens_at:
        closes_at = opens_at + timedelta(hours=1)
    return Window(opens_at, closes_at)


def local_date(instant: datetime, zone: ZoneInfo) -> date:
    """The date on the club's calendar at ``instant``."""
    return instant.astimezone(zone).date()


def closing_day(closes_at: datetime, zone: ZoneInfo) -> date:
    """The day to which a set belongs: that of its last open moment.

    A set that closes at midnight belongs to the day that ends there.
    """
    return local_date(closes_at - timedelta(microseconds=1), zone)


def week_of(day: date) -> date:
    """The Monday of the week of ``day``.

    >>> week_of(date(2026, 11, 29)).isoformat()
    '2026-11-23'
    """
    return day - timedelta(days=day.weekday())


def end_of_week(instant: datetime, zone: ZoneInfo) -> datetime:
    """The midnight at which the week of ``instant`` ends on the calendar of ``zone``.

    >>> noon = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
    >>> end_of_week(noon, ZoneInfo("Europe/Oslo")).isoformat()
    '2026-11-29T23:00:00+00:00'
    """
    monday = week_of(local_date(instant, zone))
    return local_to_utc(monday + timedelta(days=7), MIDNIGHT, zone)
