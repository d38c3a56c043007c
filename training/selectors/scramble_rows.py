"""The row of a scramble that somebody hands in for, read at each hand-in."""

from __future__ import annotations

from datetime import datetime

from training import belonging, visibility
from training.models import Membership, Scramble
from training.prepared import LARGE, SMALL, Prepared
from training.rights import may_coach
from training.visibility import Sealed


def scramble_row(viewer: Membership, set_id: int, number: int, now: datetime) -> Scramble:
    """The scramble to hand in for. Raises Sealed for what is not there or not yet."""
    rows = (
        _numbered(set_id, number) if may_coach(viewer) else _numbered_for(viewer.pk, set_id, number)
    )
    for found in rows:
        # The row says by itself that the set is given to a member.
        found.scramble_set.known_to = viewer.pk  # type: ignore[attr-defined]
        visibility.require_set(viewer, found.scramble_set, now)
        found.scramble_set.club = viewer.club
        return found
    raise Sealed


_numbered = Prepared(
    lambda set_id, number: (
        Scramble.objects.select_related("scramble_set")
        .filter(scramble_set=set_id, number=number)
        .order_by()
    ),
    LARGE,
    SMALL,
)
_numbered_for = Prepared(
    lambda member, set_id, number: (
        Scramble.objects.select_related("scramble_set")
        .filter(belonging.given_or_begun(member, at="scramble_set__"))
        .filter(scramble_set=set_id, number=number)
        .order_by()
    ),
    LARGE,
    LARGE,
    SMALL,
)
