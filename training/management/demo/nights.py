"""The demo club's last club night: a lesson's set of an evening, planned by whoever was there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta

from django.db import transaction

from solverworker.techniques.drawing import draw_called
from training import clock
from training.management.demo import cast
from training.management.demo.build import DemoEntry, entries_of, record
from training.models import Kind, Membership, ScrambleSet
from training.rules import SetRules
from training.services.lesson_sets import make_club_night
from training.services.sets import fill_picked


@dataclass(frozen=True, slots=True)
class Evening:
    """A club night of some days ago, with crosses that call for an idea."""

    days_ago: int
    begins: time
    minutes: int
    crosses: int
    idea: str


LAST = Evening(9, time(18, 30), minutes=60, crosses=4, idea="relative_build")


def second_coach() -> Membership:
    """Who holds the evenings."""
    return Membership.objects.select_related("club", "person").get(
        club__name=cast.CLUB, display_name=cast.SECOND_COACH[0]
    )


def give(
    evening: Evening, coach: Membership, *, now: datetime, rules: SetRules | None = None
) -> ScrambleSet:
    """The evening's set, as the coach gave it that noon."""
    day = clock.local_date(now, coach.club.zone) - timedelta(days=evening.days_ago)
    noon = clock.local_to_utc(day, time(12), coach.club.zone)
    night = make_club_night(
        by=coach,
        code=evening.idea,
        scrambles=evening.crosses,
        lengths=(4, 6),
        day=day,
        begins=evening.begins,
        minutes=evening.minutes,
        rules=rules,
        now=noon,
    )
    fill_picked(drawer=draw_called, now=noon)
    night.club = coach.club
    return night


def written_by(
    people: Iterable[Membership], night: ScrambleSet, coach: Membership
) -> Iterator[DemoEntry]:
    """What some wrote that evening, by how far they were."""
    members = {one.display_name: one for one in people}
    weeks = (night.day - clock.local_date(coach.joined_at, coach.club.zone)).days // 7
    return entries_of(night, night.day, weeks, members, night.closes_at + timedelta(days=1))


@transaction.atomic
def hold_night(*, now: datetime) -> None:
    """Give the evening's set, as the coach did that noon, with what came in; unless it is there."""
    coach = second_coach()
    nights = ScrambleSet.objects.of_club(coach.club).filter(kind=Kind.CLUB_NIGHT)
    if nights.closed(now).exists():
        return
    night = give(LAST, coach, now=now)
    # Everybody writes within the hour, cross after cross.
    record(
        [
            replace(one, at=night.opens_at + timedelta(minutes=10 * one.scramble.number))
            for one in written_by(Membership.objects.filter(club=coach.club_id), night, coach)
        ]
    )
