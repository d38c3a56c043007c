"""The day's sets laid out for a member."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from training.models import Membership
from training.selectors.challenges import ChallengeHead
from training.selectors.plans import SetView
from training.web.parts.challenge_line import ChallengeLine, challenge_lines
from training.web.parts.set_cards import SetShown, show_set


@dataclass(frozen=True, slots=True)
class TodayShown:
    """What ``pages/today/today.html`` needs; ``last`` stands where no set is open."""

    challenges: tuple[ChallengeLine, ...]
    open_sets: tuple[SetShown, ...]
    last: SetShown | None


def show_today(
    viewer: Membership,
    open_sets: Sequence[SetView],
    last: SetView | None,
    challenges: Sequence[ChallengeHead],
    now: datetime,
) -> TodayShown:
    """Lay out the open sets, or the last that closed, and where challenges stand."""
    return TodayShown(
        challenges=challenge_lines(viewer, challenges, now),
        open_sets=tuple(show_set(viewer, one, now) for one in open_sets),
        last=show_set(viewer, last, now) if last else None,
    )
