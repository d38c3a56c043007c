"""The demo club's last club night: a lesson's set of an evening, planned by whoever was there."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta

from django.db import transaction

from solverworker.techniques.drawing import draw_called
from training import clock
from training.management.demo import cast
from training.management.demo.build import entries_of, record
from training.models import Kind, Membership, ScrambleSet
from training.services.lesson_sets import make_club_night
from training.services.sets import fill_picked

DAYS_AGO = 9
BEGINS = time(18, 30)
MINUTES = 60
CROSSES = 4
IDEA = "relative_build"


@transaction.atomic
def hold_night(*, now: datetime) -> None:
    """Give the evening's set, as the coach did that noon, with what came in; unless it is there."""
    coach = Membership.objects.select_related("club", "person").get(
        club__name=cast.CLUB, display_name=cast.SECOND_COACH[0]
    )
    nights = ScrambleSet.objects.of_club(coach.club).filter(kind=Kind.CLUB_NIGHT)
    if nights.closed(now).exists():
        return
    day = clock.local_date(now, coach.club.zone) - timedelta(days=DAYS_AGO)
    noon = clock.local_to_utc(day, time(12), coach.club.zone)
    night = make_club_night(
        by=coach,
        code=IDEA,
        scrambles=CROSSES,
        lengths=(4, 6),
        day=day,
        begins=BEGINS,
        minutes=MINUTES,
        now=noon,
    )
    fill_picked(drawer=draw_called, now=noon)
    night.club = coach.club
    members = {one.display_name: one for one in Membership.objects.filter(club=coach.club_id)}
    weeks = (day - clock.local_date(coach.joined_at, coach.club.zone)).days // 7
    written = entries_of(night, day, weeks, members, night.closes_at + timedelta(days=1))
    # Everybody writes within the hour, cross after cross.
    record(
        [
            replace(one, at=night.opens_at + timedelta(minutes=10 * one.scramble.number))
            for one in written
        ]
    )
