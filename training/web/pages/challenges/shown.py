"""The club's challenges and seasons laid out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from training import clock
from training.models import Membership
from training.rights import may_publish
from training.selectors.challenges import ChallengeHead
from training.selectors.posts import public_address_of
from training.selectors.seasons import SeasonHead
from training.visibility import sees_group
from training.web.parts.challenge_line import ChallengeLine, challenge_lines
from training.web.saying.challenges import season_days, season_rule, season_state


@dataclass(frozen=True, slots=True)
class SeasonShown:
    """A season in the list."""

    name: str
    href: str
    days: str
    state: str
    rule: str


@dataclass(frozen=True, slots=True)
class ChallengesShown:
    """What ``pages/challenges/challenges.html`` needs; ``public``: the address for all, if any."""

    challenges: tuple[ChallengeLine, ...]
    seasons: tuple[SeasonShown, ...]
    coaches: bool
    owns: bool
    public: str


def show_challenges(
    viewer: Membership,
    heads: Sequence[ChallengeHead],
    seasons: Sequence[SeasonHead],
    base_url: str,
    now: datetime,
) -> ChallengesShown:
    """Lay out what a club has announced and named."""
    today = clock.local_date(now, viewer.club.zone)
    owns = may_publish(viewer)
    address = public_address_of(viewer.club) if owns else None
    return ChallengesShown(
        challenges=challenge_lines(viewer, heads, now),
        seasons=tuple(
            SeasonShown(
                name=one.name,
                href=reverse("season", args=[viewer.club.slug, one.id]),
                days=season_days(one, today),
                state=season_state(one),
                rule=season_rule(one),
            )
            for one in seasons
        ),
        coaches=sees_group(viewer),
        owns=owns,
        public=base_url + reverse("public_posts", args=[address.secret]) if address else "",
    )
