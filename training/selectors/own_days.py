"""What a member's plans came to, day by day: of random sets that have closed."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Count, Q

from training import clock, visibility
from training.models import Membership, SetSummary
from training.own_level import WEEKS, DaySum
from training.prepared import INSTANT
from training.selectors.for_viewers import PreparedFor


def own_days(viewer: Membership, now: datetime, until: date) -> tuple[DaySum, ...]:
    """The days to ``until`` for which a level can be asked of any of the last two. One query.

    By the day on which a set closes, oldest first; challenges have pages of their own. Days
    without a checked plan are not there. Nothing of a set whose answers are for coaches alone.
    """
    zone = viewer.club.zone
    begin = clock.local_to_utc(until - timedelta(weeks=WEEKS, days=1), clock.MIDNIGHT, zone)
    end = clock.local_to_utc(until + timedelta(days=1), clock.MIDNIGHT, zone)
    sums: dict[date, list[int]] = defaultdict(lambda: [0] * 5)
    for due_at, *figures in _summaries(viewer, begin, now, end):
        of_day = sums[clock.closing_day(due_at, zone)]
        for place, figure in enumerate(figures):
            of_day[place] += figure
    return tuple(DaySum(day, *sums[day]) for day in sorted(sums))


_summaries: PreparedFor[tuple[Any, ...]] = PreparedFor(
    lambda viewer, begin, now, end: (
        SetSummary.objects.counting()
        .filter(
            membership=viewer.pk,
            scramble_set__in=visibility.reviewed_sets(viewer, begin, now)
            .due_by(end)
            .of_days()
            .values("pk"),
            plans__gt=0,
        )
        .annotate(
            crosses_there=Count(
                "scramble_set__scrambles", filter=Q(scramble_set__scrambles__void=False)
            )
        )
        .order_by()
        .values_list("scramble_set__due_at", "crosses_there", "plans", "points", "solved", "exact")
    ),
    *(INSTANT, INSTANT, INSTANT),
)
