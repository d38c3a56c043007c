"""How long somebody inspected before plans that were exactly the best."""

from __future__ import annotations

from datetime import date, datetime

from training import clock, visibility
from training.inspection import Inspected, inspected
from training.models import Inspects, Membership, Verdict


def inspections_of_exact(
    viewer: Membership, member: Membership, since: date, now: datetime
) -> tuple[Inspected, ...]:
    """Of the member's exact plans of random sets that a review tells ``viewer`` about. One query.

    Those alone that were timed and made from one look.
    """
    begin = clock.local_to_utc(since, clock.MIDNIGHT, member.club.zone)
    sets = visibility.reviewed_sets(viewer, begin, now)
    rows = Verdict.objects.counting().filter(
        plan__membership=member,
        plan__scramble__scramble_set__in=sets.values("pk"),
        plan__inspection__isnull=False,
        excess=0,
    )
    names = ("chosen", "begun_at", "begun_trip", "ended_at", "ended_trip", "looked_again_at")
    found = [
        inspected(
            timed=chosen == Inspects.TIMED,
            begun_at=begun_at,
            begun_trip=begun_trip,
            ended_at=ended_at,
            ended_trip=ended_trip,
            second_look=looked_again_at is not None,
        )
        for chosen, begun_at, begun_trip, ended_at, ended_trip, looked_again_at in rows.values_list(
            *(f"plan__inspection__{name}" for name in names)
        )
    ]
    return tuple(one for one in found if one.timed and not one.second_look)
