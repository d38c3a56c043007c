"""A club's settings of its days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from django.db import transaction
from django.utils import timezone

from solverworker.report import COLOURS
from training import clock, dispatch, rights
from training.models import Club, DayOff, Membership, Sight, Spelling
from training.refusals import InvalidEntry
from training.services.sets import withdraw_sealed


@dataclass(frozen=True, slots=True)
class DaySettings:
    """How a club's daily sets are made from the next one on.

    ``weekdays``: Monday = 0. ``closes`` at or before ``opens`` means the next day.
    ``technique_target``: how often, in 100, the group should answer a technique.
    """

    time_zone: str
    scrambles: int
    weekdays: Sequence[int]
    opens: time
    closes: time
    colours: Sequence[str]
    spelling: str
    answers_to: str
    table_to: str
    best_sets_counted: int | None = None
    technique_target: int = 70


def change_days(*, by: Membership, settings: DaySettings, now: datetime | None = None) -> Club:
    """Change how daily sets are made. Raises NotAllowed or InvalidEntry.

    Sets that have not opened are drawn afresh by the new settings, by a worker
    within a moment; an open one runs on as it is.
    """
    now = now or timezone.now()
    rights.require_coach(by)
    _check(settings)
    club = by.club
    club.time_zone = settings.time_zone
    club.daily_scrambles = settings.scrambles
    club.daily_weekdays = sorted(set(settings.weekdays))
    club.daily_opens = settings.opens
    club.daily_closes = settings.closes
    club.colours = [colour for colour in COLOURS if colour in settings.colours]
    club.spelling = settings.spelling
    club.answers_to = settings.answers_to
    club.table_to = settings.table_to
    club.best_sets_counted = settings.best_sets_counted
    club.technique_target = settings.technique_target
    with transaction.atomic():
        club.save()
        withdraw_sealed(club=club, now=now)
        dispatch.ask_for_drawing_after_commit()
    return club


_ORDER = [Sight.OPEN, Sight.OWN_PLAN, Sight.CLOSING, Sight.COACHES]


def _check(settings: DaySettings) -> None:
    if not clock.is_zone(settings.time_zone):
        raise InvalidEntry("Choose a time zone from the list.", field="time_zone")
    if not 1 <= settings.scrambles <= 12:
        raise InvalidEntry("A set has between 1 and 12 scrambles.", field="scrambles")
    if not set(settings.weekdays) <= set(range(7)):
        raise InvalidEntry("Choose the weekdays from the list.", field="weekdays")
    if not settings.colours or not set(settings.colours) <= set(COLOURS):
        raise InvalidEntry("Allow at least one cross colour.", field="colours")
    if settings.spelling not in Spelling.values:
        raise InvalidEntry("Choose a spelling from the list.", field="spelling")
    if settings.answers_to not in Sight.values or settings.table_to not in Sight.values:
        raise InvalidEntry("Choose who sees what from the list.", field="answers_to")
    if _ORDER.index(Sight(settings.table_to)) < _ORDER.index(Sight(settings.answers_to)):
        raise InvalidEntry(
            "The table cannot open before the answers: moves and excess give the best away. "
            "Choose the same time or a later one.",
            field="table_to",
        )
    if settings.best_sets_counted is not None and settings.best_sets_counted < 1:
        raise InvalidEntry("At least one set must count.", field="best_sets_counted")
    if not 1 <= settings.technique_target <= 99:
        raise InvalidEntry("The target is between 1 and 99 in 100.", field="technique_target")


def add_day_off(
    *, by: Membership, day: date, reason: str = "", now: datetime | None = None
) -> DayOff:
    """Note a date without a daily set. A set that has opened stays; a sealed one goes."""
    rights.require_coach(by)
    with transaction.atomic():
        off, _ = DayOff.objects.get_or_create(
            club=by.club, day=day, defaults={"reason": reason.strip()[:80]}
        )
        withdraw_sealed(club=by.club, now=now or timezone.now(), day=day)
    return off


def remove_day_off(*, by: Membership, day: date) -> None:
    """Take a day off back; the set of that day is issued when its time comes."""
    rights.require_coach(by)
    with transaction.atomic():
        DayOff.objects.filter(club=by.club, day=day).delete()
        dispatch.ask_for_drawing_after_commit()
