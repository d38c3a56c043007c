"""Which sets feed a season, and when its last table stands by itself."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db.models import Max

from training import clock
from training.challenge_states import Asked, Course, ends_by_itself
from training.models import (
    Challenge,
    Confirmation,
    Drawn,
    Plan,
    Question,
    ScrambleSet,
    Season,
    Verdict,
)
from training.models.challenges import QUESTION_HOURS
from training.models.sets import ScrambleSetQuerySet
from training.rules import Sight

QUESTION_TIME = timedelta(hours=QUESTION_HOURS)
"""How long members ask about the last of a season, as about a challenge."""


def sets_of(season: Season) -> ScrambleSetQuerySet:
    """The sets that feed a season (its club loaded): as drawn, of its kinds, for everybody."""
    zone = season.club.zone
    found = ScrambleSet.objects.of_club(season.club).as_drawn().to_everybody()
    found = found.shared().not_taken_out()
    return (
        found.filter(kind__in=season.kinds, drawn=Drawn.AS_DRAWN)
        .exclude(table_to=Sight.COACHES)
        .closing_within(
            clock.local_to_utc(season.first_day, clock.MIDNIGHT, zone),
            clock.local_to_utc(season.last_day + timedelta(days=1), clock.MIDNIGHT, zone),
        )
    )


def ends_at(season: Season) -> datetime:
    """The instant at which a season (its club loaded) is over: the midnight after its last day."""
    after = season.last_day + timedelta(days=1)
    return clock.local_to_utc(after, clock.MIDNIGHT, season.club.zone)


def stands_by_itself_at(season: Season) -> datetime | None:
    """When the last table of a season stands without anybody's doing; it may lie ahead.

    As of a challenge: once members had their time to ask, from when the season was over, all
    of it checked and its challenges confirmed, and later if a question was still open then.
    None while something of that waits, and for a season that no set has fed. Six queries.
    """
    closes = dict(sets_of(season).order_by().values_list("pk", "closes_at"))
    if not closes:
        return None
    confirmed = dict(
        Confirmation.objects.filter(challenge__scramble_set__in=closes, turn=1).values_list(
            "challenge__scramble_set_id", "confirmed_at"
        )
    )
    challenges = Challenge.objects.filter(scramble_set__in=closes)
    others = [pk for pk in closes if pk not in confirmed]
    pending = Plan.objects.pending().for_counting_scrambles()
    if (
        challenges.exclude(scramble_set__in=confirmed).exists()
        or pending.filter(scramble__scramble_set__in=others).exists()
    ):
        return None
    verdicts = Verdict.objects.filter(plan__scramble__scramble_set__in=others)
    last = verdicts.aggregate(last=Max("checked_at"))["last"]
    known = [ends_at(season), *closes.values(), *confirmed.values()]
    asked = Question.objects.filter(scramble__scramble_set__in=closes)
    begins = max(known if last is None else [*known, last])
    return ends_by_itself(
        Course(
            announced_at=begins,
            opens_at=begins,
            closes_at=begins,
            question_time=QUESTION_TIME,
            checked_at=begins,
            asked=tuple(Asked(*one) for one in asked.values_list("asked_at", "answered_at")),
        )
    )
