"""When the series of a club have their sets: by rule, by what goes otherwise, without days off."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from training import clock
from training.models import Club, DayOff, OtherDay, Series


@dataclass(frozen=True, slots=True)
class Occurrence:
    """A set that a series has: ``day``: on which it is held; ``of_day``: the day of the rule.

    ``moved``: held on another day or at another time than the rule says.
    """

    series: Series
    day: date
    of_day: date
    window: clock.Window
    moved: bool


def days_off_between(club: Club, first: date, last: date) -> frozenset[date]:
    """The days off of a club from ``first`` to ``last``."""
    found = DayOff.objects.filter(club=club, day__range=(first, last))
    return frozenset(found.values_list("day", flat=True))


def series_of(club: Club, first: date, last: date) -> list[Series]:
    """The series that may have a set from ``first`` to ``last``, with what goes otherwise.

    Three queries.
    """
    moved_here = OtherDay.objects.filter(held_on__range=(first, last)).values("series")
    issuing = Series.objects.of_club(club).issuing(first, last)
    moved = Series.objects.of_club(club).filter(pk__in=moved_here)
    found = list((issuing | moved).prefetch_related("other_days", "groups"))
    for one in found:
        # Who asks is known already, with the zone and the rules that go by it.
        one.club = club
    return found


def of_club(club: Club, first: date, last: date) -> list[Occurrence]:
    """All that the series of a club have from ``first`` to ``last``, earliest first.

    Four queries.
    """
    off = days_off_between(club, first, last)
    found = [
        occurrence
        for one in series_of(club, first, last)
        for occurrence in of_series(one, first, last, off=off)
    ]
    return sorted(found, key=lambda one: (one.window.opens_at, one.series.pk))


def of_series(
    series: Series, first: date, last: date, *, off: Collection[date] = ()
) -> list[Occurrence]:
    """What one series has from ``first`` to ``last``, but for the days ``off``."""
    others = list(series.other_days.all())
    otherwise = {one.day: one for one in others}
    zone = series.club.zone
    found = [
        _occurrence(series, day, day, None, zone)
        for day in series.days(first, last)
        if day not in otherwise
    ]
    found += [
        _occurrence(series, one.held_on, one.day, one, zone)
        for one in others
        if one.held_on is not None and first <= one.held_on <= last
    ]
    return sorted((one for one in found if one.day not in off), key=lambda one: one.day)


def _occurrence(
    series: Series, day: date, of_day: date, other: OtherDay | None, zone: ZoneInfo
) -> Occurrence:
    opens = series.opens if other is None or other.opens is None else other.opens
    closes = series.closes if other is None or other.closes is None else other.closes
    window = clock.window_of_day(day, opens, closes, zone, series.days_later)
    return Occurrence(series, day, of_day, window, moved=other is not None)
