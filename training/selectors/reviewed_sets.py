"""Sets as reviews and coaches ask for them: by queries put into SQL once."""

from __future__ import annotations

from datetime import datetime

from training import visibility
from training.models import Drawn, Membership, ScrambleSet
from training.prepared import INSTANT, LARGE, TEXT
from training.selectors.for_viewers import PreparedFor


def sets_in_review(
    viewer: Membership, since: datetime, until: datetime, *, drawn: str = Drawn.AS_DRAWN
) -> list[ScrambleSet]:
    """:func:`training.visibility.reviewed_sets`, read. One query."""
    return _reviewed(viewer, since, until, str(drawn))


_reviewed = PreparedFor(
    lambda viewer, since, until, drawn: visibility.reviewed_sets(viewer, since, until, drawn=drawn),
    *(INSTANT, INSTANT, TEXT),
)


def members_in_review(viewer: Membership) -> list[Membership]:
    """:func:`training.visibility.reviewed_members` of all groups, read. One query."""
    return _members(viewer)


_members = PreparedFor(lambda viewer: visibility.reviewed_members(viewer))


def club_set(viewer: Membership, now: datetime, set_id: int) -> list[ScrambleSet]:
    """The set of a number, if it is of :func:`training.visibility.club_sets`. One query."""
    return _of_club(viewer, now, set_id)


_of_club = PreparedFor(
    lambda viewer, now, set_id: visibility.club_sets(viewer, now).filter(pk=set_id),
    *(INSTANT, LARGE),
)
