"""The demo club's evening by the clock: a set that is timed only, and a time that was excused."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta

from django.db import transaction

from solverworker.techniques.drawing import draw_called
from training import clock
from training.management.demo import cast
from training.management.demo.build import entries_of, record
from training.models import Membership, Plan, ScrambleSet
from training.rules import Timing
from training.services.corrections import excuse_time
from training.services.lesson_sets import make_club_night
from training.services.sets import fill_picked

DAYS_AGO = 5
BEGINS = time(19, 45)
MINUTES = 30
CROSSES = 3
IDEA = "base_turn"

SECONDS = {"Noor": (9.2, 7.8, 10.4), "Sunniva": (12.1, 14.3, 17.9), "Ines": (13.5, 18.6, 15.8)}
"""How long who was there inspected, cross by cross; from 17 on a plan counts 8."""

EXCUSED = ("Ines", 2)
"""Whose plan was late because the hall's line broke."""


@transaction.atomic
def hold_timed_night(*, now: datetime) -> None:
    """Give the evening's set, as the coach did that noon, with what came in; unless it is there."""
    coach = Membership.objects.select_related("club", "person").get(
        club__name=cast.CLUB, display_name=cast.SECOND_COACH[0]
    )
    if ScrambleSet.objects.of_club(coach.club).filter(timing=Timing.TIMED).exists():
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
        rules=replace(coach.club.rules, timing=Timing.TIMED),
        now=noon,
    )
    fill_picked(drawer=draw_called, now=noon)
    night.club = coach.club
    there = Membership.objects.filter(club=coach.club_id, display_name__in=SECONDS)
    weeks = (day - clock.local_date(coach.joined_at, coach.club.zone)).days // 7
    members = {one.display_name: one for one in there}
    written = entries_of(night, day, weeks, members, night.closes_at + timedelta(days=1))
    record(
        [
            replace(
                one,
                at=night.opens_at + timedelta(minutes=8 * one.scramble.number),
                seconds=SECONDS[one.membership.display_name][one.scramble.number - 1],
            )
            for one in written
        ]
    )
    name, number = EXCUSED
    late = Plan.objects.select_related("membership", "scramble__scramble_set").get(
        membership__display_name=name, scramble__scramble_set=night, scramble__number=number
    )
    at = night.closes_at + timedelta(minutes=20)
    excuse_time(plan=late, by=coach, reason=cast.LINE_BROKE, now=at)
