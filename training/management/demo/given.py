"""What the demo club's coach gave: short crosses for beginners, homework for some and for one."""

from __future__ import annotations

from datetime import datetime, timedelta

from training import clock
from training.management.demo import cast
from training.models import Group, Membership
from training.selectors.own_homework import homework_for_one
from training.services.groups import move
from training.services.lesson_sets import make_homework
from training.services.series import start_series

DAYS = 7


def give(coach: Membership, now: datetime) -> None:
    """Move a starter up, give starters short crosses, builders homework, one member their own."""
    today = clock.local_date(now, coach.club.zone)
    groups = {one.name: one for one in Group.objects.of_club(coach.club_id)}
    starters = Membership.objects.filter(
        club=coach.club_id, group_times__group=groups[cast.STARTERS]
    ).order_by("display_name")
    risen = starters.first()
    if risen is not None:
        move(
            by=coach,
            memberships=[risen],
            group=groups[cast.BUILDERS],
            from_day=today - timedelta(days=5),
            now=now,
        )
    start_series(
        by=coach,
        settings={"name": "First crosses", "scrambles": 3, "shortest": 2, "longest": 4},
        begins_on=today,
        groups=[groups[cast.STARTERS]],
        now=now,
    )
    lengths = (4, 6)
    make_homework(
        by=coach,
        code="shared_turn",
        scrambles=3,
        lengths=lengths,
        opens_day=today,
        days=DAYS,
        groups=[groups[cast.BUILDERS]],
        now=now,
    )
    one = Membership.objects.competing().filter(club=coach.club_id, display_name="Noor").first()
    if one is None:
        return
    found = homework_for_one(coach, one.pk, now)
    make_homework(
        by=coach,
        code=found.dearest.code if found.dearest is not None else "base_turn",
        scrambles=3,
        lengths=found.lengths,
        opens_day=today,
        days=DAYS,
        member=one,
        now=now,
    )
