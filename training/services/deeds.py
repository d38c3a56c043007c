"""The club's log: a line for each thing done to somebody, and its end after a year."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils import timezone

from training import retention
from training.models import Deed, Done, Membership


def note(
    *,
    what: Done,
    whom: Membership,
    by: Membership | None,
    detail: str = "",
    now: datetime | None = None,
) -> Deed:
    """Add a line to the log of ``whom``'s club. Call it in the transaction that does the thing.

    ``by``: a membership of the same club; None for whoever runs the server.
    ``detail`` is a word of ours, never what somebody wrote: the log holds no names.
    """
    if by is not None and by.club_id != whom.club_id:
        raise ValueError("somebody of another club does nothing here")
    return Deed.objects.create(
        club_id=whom.club_id,
        what=what,
        whom=whom,
        by=by,
        detail=detail,
        done_at=now or timezone.now(),
    )


def purge(*, now: datetime | None = None) -> int:
    """Delete the lines that are older than the log is kept. Returns how many."""
    before = (now or timezone.now()) - timedelta(days=retention.LOG_DAYS)
    return Deed.objects.done_before(before).delete()[0]
