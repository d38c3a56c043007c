"""A club's log, newest first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from training import rights
from training.models import Deed, Membership


@dataclass(frozen=True, slots=True)
class LogLine:
    """Who did what to whom, when. ``by`` is None for whoever runs the server.

    ``own``: somebody did it to themself. ``detail``: the new role, the new age
    mark, the number of the text that was agreed to.
    """

    id: int
    done_at: datetime
    what: str
    by: str | None
    whom: str
    own: bool
    detail: str


@dataclass(frozen=True, slots=True)
class ClubLog:
    """Some lines of the log, and whether there are older ones."""

    lines: tuple[LogLine, ...]
    has_older: bool


def log_count(viewer: Membership) -> int:
    """How many lines a club's log has. Raises NotAllowed for who may not read it. One query."""
    rights.require_read_log(viewer)
    return Deed.objects.of_club(viewer.club).count()


def club_log(viewer: Membership, *, start: int = 0, count: int = 100) -> ClubLog:
    """Lines of the log from the one ``start`` on. Two queries at most.

    Raises NotAllowed unless :func:`training.rights.may_read_log`.
    """
    rights.require_read_log(viewer)
    rows = list(
        Deed.objects.of_club(viewer.club).select_related("by", "whom")[start : start + count + 1]
    )
    return ClubLog(tuple(_line(one) for one in rows[:count]), has_older=len(rows) > count)


def _line(one: Deed) -> LogLine:
    return LogLine(
        id=one.pk,
        done_at=one.done_at,
        what=one.what,
        by=one.by.display_name if one.by is not None else None,
        whom=one.whom.display_name,
        own=one.by_id == one.whom_id,
        detail=one.detail,
    )
