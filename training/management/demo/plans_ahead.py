"""What the coaches of the demo club have planned ahead: a club night, a day less, holidays."""

from __future__ import annotations

from datetime import datetime, time, timedelta

from training import clock
from training.models import Kind, Membership
from training.selectors import planning as planned
from training.services import planning
from training.services.planning import Seen


def plan_ahead(coach: Membership, now: datetime) -> None:
    """Plan next week, through the planner, and note the holidays a month from now."""
    monday = clock.week_of(clock.local_date(now, coach.club.zone)) + timedelta(days=7)

    def seen() -> Seen:
        return Seen(monday, planned.week(coach, monday, now).version)

    planning.add_set(
        by=coach,
        seen=seen(),
        day=monday + timedelta(days=4),
        settings={
            "kind": Kind.CLUB_NIGHT,
            "opens": time(18, 0),
            "closes": time(20, 0),
            "scrambles": 3,
        },
        now=now,
    )
    planning.leave_out(
        by=coach,
        seen=seen(),
        series_id=coach.club.first_series.pk,
        day=monday + timedelta(days=4),
        now=now,
    )
    planning.day_off(
        by=coach, seen=seen(), day=monday + timedelta(days=3), reason="school trip", now=now
    )
    holidays = [monday + timedelta(days=one) for one in range(21, 35)]
    planning.holidays(by=coach, days=holidays, reason="winter holidays", now=now)
