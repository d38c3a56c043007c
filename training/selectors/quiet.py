"""Who has gone quiet: members who used to hand in, or never did, and have not of late."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Max

from training import visibility
from training.models import Membership, Plan
from training.prepared import INSTANT, MANY, Prepared
from training.selectors.for_viewers import PreparedFor

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
    if not _something_since(viewer, now, since):
        return ()
    last = dict(_last([one.pk for one in people]))
    found = [
        Quiet(one.pk, one.display_name, last.get(one.pk))
        for one in people
        if one.joined_at <= since and (one.pk not in last or last[one.pk] <= since)
    ]
    return tuple(found)


_something_since = PreparedFor(
    lambda viewer, now, since: (
        visibility.shared_sets(viewer, now)
        .not_closed(since)
        .as_drawn()
        .order_by()
        .values_list("pk")[:1]
    ),
    *(INSTANT, INSTANT),
)
_last: Prepared[tuple[int, datetime]] = Prepared(
    lambda members: (
        Plan.objects.filter(membership__in=members)
        .order_by()
        .values("membership_id")
        .annotate(last=Max("handed_in_at"))
        .values_list("membership_id", "last")
    ),
    MANY,
)
