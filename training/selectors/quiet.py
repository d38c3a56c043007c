"""Who has gone quiet: members who used to hand in, or never did, and have not of late."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Max

from training import visibility
from training.models import Membership, Plan

QUIET_DAYS = 7


@dataclass(frozen=True, slots=True)
class Quiet:
    """A member from whom nothing came of late; ``last_at``: the last plan, None for none ever."""

    membership_id: int
    member: str
    last_at: datetime | None


def quiet_members(viewer: Membership, now: datetime, group: str = "") -> tuple[Quiet, ...]:
    """Who joined more than a week ago and has handed in nothing for a week. Three queries.

    Nobody, where there was nothing to hand in: a club on holiday is not quiet.
    """
    return quiet_among(viewer, list(visibility.reviewed_members(viewer, group)), now)


def quiet_among(
    viewer: Membership, people: Sequence[Membership], now: datetime
) -> tuple[Quiet, ...]:
    """The same among some members. Two queries."""
    since = now - timedelta(days=QUIET_DAYS)
    if not visibility.shared_sets(viewer, now).not_closed(since).as_drawn().exists():
        return ()
    rows = Plan.objects.filter(membership__in=[one.pk for one in people]).order_by()
    last = dict(
        rows.values("membership_id")
        .annotate(last=Max("handed_in_at"))
        .values_list("membership_id", "last")
    )
    found = [
        Quiet(one.pk, one.display_name, last.get(one.pk))
        for one in people
        if one.joined_at <= since and (one.pk not in last or last[one.pk] <= since)
    ]
    return tuple(found)
