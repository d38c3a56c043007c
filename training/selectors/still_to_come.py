"""Of whom plans are still to come in the sets that are open, for a coach."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from training import visibility, windows
from training.models import Membership
from training.selectors.coach import CoachSet, set_overview


def open_sets(viewer: Membership, now: datetime) -> tuple[CoachSet, ...]:
    """The sets open now, with those alone among the missing for whom they are still open.

    Raises Sealed for somebody who is no coach.
    """
    visibility.require_group(viewer)
    sets = list(visibility.shared_sets(viewer, now).not_closed(now).order_by("closes_at"))
    named = windows.named_for(sets, now)
    found = []
    for row in sets:
        one, still = set_overview(viewer, row.pk, now), named.get(row.pk)
        missing = tuple(m for m in one.missing if still is None or m.membership_id in still)
        found.append(replace(one, missing=missing))
    return tuple(found)
