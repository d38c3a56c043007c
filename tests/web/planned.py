"""What a coach has planned in the club of ``test_every_string.py``, and the pages about it."""

from __future__ import annotations

from datetime import date
from typing import Any

from tests.conftest import NOON
from training.models import Club, DayOff, Kind, Series

ROOT = "/c/lantern-street"


def plan_days(club: Club) -> tuple[Series, Series]:
    """A stopped series and a set of a single day, beside days that go otherwise and one off."""
    stopped = club.series.create(
        name="LONG ONE",
        kind=Kind.CLUB_NIGHT,
        weekdays=[4],
        days_later=3,
        stopped_on=NOON.date(),
    )
    once = club.series.create(
        name="ONCE", kind=Kind.CHALLENGE, only_on=date(2026, 11, 27), days_later=2
    )
    once.groups.add(club.groups.create(name="STARTERS"))
    first = club.first_series
    first.other_days.create(day=date(2026, 11, 28))
    first.other_days.create(day=date(2026, 11, 29), held_on=date(2026, 11, 28))
    DayOff.objects.create(club=club, day=date(2026, 12, 3), reason="FAIR")
    return stopped, once


def pages_planned(there: Any) -> dict[str, list[tuple[Any, str]]]:
    """The pages about series, weeks and calendars, with who opens them."""
    coach, week = there.coach, f"{ROOT}/coach/week/"
    series = (there.club.first_series, there.night_series, there.once)
    return {
        "series": [(coach, f"{ROOT}/settings/series/{one.pk}/") for one in series[:2]],
        "new_series": [(coach, f"{ROOT}/settings/series/new/")],
        "calendar": [(who, f"{ROOT}/calendar/") for who in (there.member, coach, there.rival)],
        "planner": [(who, week) for who in (coach, there.rival)],
        "planner_week": [
            (coach, f"{week}{day}/")
            for day in ("2026-11-02", "2026-11-25", "2026-12-02", "2027-01-01")
        ],
        "planner_day": [
            (coach, f"{week}{day}/add/")
            for day in ("2026-11-02", "2026-11-25", "2026-11-27", "2026-12-03")
        ],
        "planner_copy": [(coach, f"{week}{day}/copy/") for day in ("2026-11-23", "2026-12-04")],
        "planner_set": [
            (coach, f"{week}{day}/{one.pk}/")
            for day in ("2026-11-25", "2026-11-27", "2026-11-28")
            for one in series
        ],
        "holidays": [(coach, f"{ROOT}/coach/holidays/")],
    }
