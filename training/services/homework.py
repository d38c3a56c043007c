"""Homework: a picked set for a lesson, drawn to one technique."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils import timezone

from training import clock, dispatch
from training.models import Drawn, Kind, Membership, ScrambleSet
from training.selectors.reviews import TECHNIQUES
from training.services.errors import InvalidEntry
from training.services.rights import require_coach

METHOD = "picked"
MOST_DAYS = 28


def make_homework(
    *,
    by: Membership,
    code: str,
    scrambles: int,
    lengths: tuple[int, int],
    opens_day: date,
    days: int,
    now: datetime | None = None,
) -> ScrambleSet:
    """Issue a picked set as homework for the whole club.

    Every cross of it calls for the technique ``code`` at the start and has a
    best of ``lengths[0]`` to ``lengths[1]`` moves. It opens at midnight of
    ``opens_day`` on the club's calendar (at once, if that is today) and closes
    after ``days`` days. A worker draws the scrambles within a moment. Raises
    NotAllowed or InvalidEntry.
    """
    now = now or timezone.now()
    require_coach(by)
    zone = by.club.zone
    shortest, longest = lengths
    if code not in TECHNIQUES:
        raise InvalidEntry("Choose an idea from the list.", field="code")
    if not 1 <= scrambles <= 12:
        raise InvalidEntry("A set has between 1 and 12 scrambles.", field="scrambles")
    if not 2 <= shortest <= longest <= 8:
        raise InvalidEntry(
            "The lengths go from 2 to 8 moves, the smaller one first.", field="lengths"
        )
    if not 1 <= days <= MOST_DAYS:
        raise InvalidEntry(f"Homework is open for 1 to {MOST_DAYS} days.", field="days")
    if opens_day < clock.local_date(now, zone):
        raise InvalidEntry("This day has passed. Choose today or a later one.", field="opens_day")
    opens_at = max(now, clock.local_to_utc(opens_day, clock.MIDNIGHT, zone))
    with transaction.atomic():
        made = ScrambleSet.objects.create(
            club=by.club,
            kind=Kind.HOMEWORK,
            drawn=Drawn.PICKED,
            draw_method=METHOD,
            profile={
                "technique": code,
                "fresh": [code] * scrambles,
                "lengths": [shortest, longest],
            },
            scrambles_wanted=scrambles,
            day=opens_day,
            opens_at=opens_at,
            closes_at=clock.local_to_utc(
                opens_day + timedelta(days=days), clock.MIDNIGHT, zone, "closing"
            ),
            colours=by.club.colours,
            spelling=by.club.spelling,
            answers_to=by.club.answers_to,
            table_to=by.club.table_to,
            issued_at=now,
        )
        dispatch.ask_for_drawing_after_commit()
    return made
