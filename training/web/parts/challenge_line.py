"""A challenge in one line, for the pages of a day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from training.models import Membership
from training.selectors.challenges import ChallengeHead
from training.selectors.set_heads import challenge_title
from training.web.saying.challenges import stage_words


@dataclass(frozen=True, slots=True)
class ChallengeLine:
    """What ``parts/challenge_lines.html`` needs of one challenge."""

    title: str
    href: str
    said: str


def challenge_lines(
    viewer: Membership, heads: Iterable[ChallengeHead], now: datetime
) -> tuple[ChallengeLine, ...]:
    """Say of some challenges where they stand."""
    return tuple(
        ChallengeLine(
            title=challenge_title(one.name, one.number),
            href=reverse("challenge", args=[viewer.club.slug, one.id]),
            said=stage_words(one, now, viewer.club.zone),
        )
        for one in heads
    )
