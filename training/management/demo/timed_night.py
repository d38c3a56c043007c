"""The demo club's evening by the clock: a set that is timed only, and a time that was excused."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta

from django.db import transaction

from training.management.demo import cast
from training.management.demo.build import record
from training.management.demo.nights import Evening, give, second_coach, written_by
from training.models import Membership, Plan, ScrambleSet
from training.rules import Timing
from training.services.corrections import excuse_time

BY_THE_CLOCK = Evening(5, time(19, 45), minutes=30, crosses=3, idea="base_turn")

SECONDS = {"Noor": (9.2, 7.8, 17.4), "Sunniva": (12.1, 14.3, 17.9), "Ines": (13.5, 18.6, 15.8)}
"""How long who was there inspected, cross by cross; from 17 on a plan counts 8."""


@transaction.atomic
def hold_timed_night(*, now: datetime) -> None:
    """Give the evening's set, as the coach did that noon, with what came in; unless it is there."""
    coach = second_coach()
    if ScrambleSet.objects.of_club(coach.club).filter(timing=Timing.TIMED).exists():
        return
    night = give(BY_THE_CLOCK, coach, now=now, rules=replace(coach.club.rules, timing=Timing.TIMED))
    there = Membership.objects.filter(club=coach.club_id, display_name__in=SECONDS)
    written = written_by(there, night, coach)
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
    # Of the late ones somebody solved: else excusing changes nothing that is to be seen.
    plans = Plan.objects.select_related("membership", "scramble__scramble_set")
    late = plans.filter(scramble__scramble_set=night, out_of_time=True).earliest(
        "-verdict__solved", "handed_in_at", "pk"
    )
    at = night.closes_at + timedelta(minutes=20)
    excuse_time(plan=late, by=coach, reason=cast.LINE_BROKE, now=at)
