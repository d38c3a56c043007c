"""The day's sets laid out for a member."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from training.models import Membership
from training.own_level import DaySum
from training.selectors.challenges import ChallengeHead
from training.selectors.day_news import DayNews
from training.selectors.plans import SetView
from training.web.pages.today.finished import FinishedShown, show_finished
from training.web.pages.today.news import NewsShown, show_news
from training.web.parts.challenge_line import ChallengeLine, challenge_lines
from training.web.parts.set_cards import SetShown, show_set


@dataclass(frozen=True, slots=True)
class TodayShown:
    """What ``pages/today/today.html`` needs; ``last`` stands where no set is open.

    ``news``: what changed and what waits; ``finished``: of a day on which all plans are in.
    """

    news: NewsShown | None
    challenges: tuple[ChallengeLine, ...]
    finished: FinishedShown | None
    open_sets: tuple[SetShown, ...]
    last: SetShown | None


def show_today(
    viewer: Membership,
    open_sets: Sequence[SetView],
    last: SetView | None,
    challenges: Sequence[ChallengeHead],
    news: DayNews,
    days: Sequence[DaySum],
    now: datetime,
) -> TodayShown:
    """Lay out what is new, the open sets or the last that closed, where challenges stand."""
    return TodayShown(
        news=show_news(viewer, news, days, open_sets, now),
        challenges=challenge_lines(viewer, challenges, now),
        finished=show_finished(viewer, open_sets, days, now),
        open_sets=tuple(show_set(viewer, one, now) for one in open_sets),
        last=show_set(viewer, last, now) if last else None,
    )
