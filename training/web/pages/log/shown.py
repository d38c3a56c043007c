"""A club's log laid out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from training import retention
from training.models import Membership
from training.selectors.deeds import ClubLog
from training.web.saying.counting import count
from training.web.saying.deeds import log_sentence
from training.web.saying.times import Said, say

LINES_A_PAGE = 100


@dataclass(frozen=True, slots=True)
class LineShown:
    """A line of the log: the sentence, and when."""

    said: str
    when: Said


@dataclass(frozen=True, slots=True)
class LogShown:
    """What ``pages/log/log.html`` needs. An address is empty where no more lines are."""

    lines: tuple[LineShown, ...]
    kept_for: str
    newer_href: str
    older_href: str


def show_log(viewer: Membership, found: ClubLog, now: datetime, *, start: int) -> LogShown:
    """Lay out a page of the log, from line ``start`` on."""
    zone = viewer.club.zone
    return LogShown(
        lines=tuple(
            LineShown(log_sentence(one), say(one.done_at, now, zone)) for one in found.lines
        ),
        kept_for=count(retention.LOG_DAYS, "day"),
        newer_href=f"?from={max(start - LINES_A_PAGE, 0)}" if start else "",
        older_href=f"?from={start + LINES_A_PAGE}" if found.has_older else "",
    )
