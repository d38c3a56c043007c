"""Sets that a member plans at another hour than the others: which are still to begin."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from training import windows
from training.models import Membership, OwnWindow, ScrambleSet
from training.prepared import INSTANT, LARGE, Prepared


@dataclass(frozen=True, slots=True)
class WindowToCome:
    """A set that is still sealed for a member, and when it is open for them."""

    set_id: int
    key: str
    kind: str
    opens_at: datetime
    closes_at: datetime


def key_of(of_set: ScrambleSet) -> str:
    """What a calendar calls a set: by its series, so that it is the same once it is drawn."""
    by_series = f"series-{of_set.series_id}-{of_set.day}"
    return by_series if of_set.series_id else f"set-{of_set.pk}"


def windows_to_come(viewer: Membership, now: datetime) -> tuple[WindowToCome, ...]:
    """The viewer's own windows that have not begun, the next at the head. One query."""
    found = []
    for one in _to_come(viewer.pk, now):
        of_set = one.correction.scramble_set
        if not of_set.taken_out and one.opens_at is not None:
            found.append(
                WindowToCome(
                    set_id=of_set.pk,
                    key=key_of(of_set),
                    kind=of_set.kind,
                    opens_at=one.opens_at,
                    closes_at=of_set.closes_at,
                )
            )
    return tuple(found)


_to_come = Prepared(
    lambda member, now: (
        OwnWindow.objects.filter(windows.IN_FORCE, membership=member, opens_at__gt=now)
        .select_related("correction__scramble_set")
        .order_by("opens_at", "pk")
    ),
    *(LARGE, INSTANT),
)
