"""The day's sets laid out for a member."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from training.models import Membership
from training.selectors.plans import SetView
from training.web.parts.set_cards import SetShown, show_set


@dataclass(frozen=True, slots=True)
class TodayShown:
    """What ``pages/today/today.html`` needs; ``last`` stands where no set is open."""

    open_sets: tuple[SetShown, ...]
    last: SetShown | None


def show_today(
    viewer: Membership, open_sets: Sequence[SetView], last: SetView | None, now: datetime
) -> TodayShown:
    """Lay out the open sets, or the last that closed."""
    return TodayShown(
        open_sets=tuple(show_set(viewer, one, now) for one in open_sets),
        last=show_set(viewer, last, now) if last else None,
    )
