"""May this person do that? Each rule raises NotAllowed, in words."""

from __future__ import annotations

from training.models import Membership, Standing
from training.services.errors import NotAllowed


def require_coach(by: Membership, *, club_id: int | None = None) -> None:
    """Only an open coach's (or owner's) account, and of club ``club_id`` where one is named."""
    other_club = club_id is not None and by.club_id != club_id
    if not by.is_coach or by.standing != Standing.ACTIVE or other_club:
        raise NotAllowed("Only a coach of the club may do this.")
