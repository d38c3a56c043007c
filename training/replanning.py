"""Does the state allow a plan of days to be changed? Beside :mod:`training.policies`."""

from __future__ import annotations

from datetime import date, datetime

from django.utils.translation import gettext as _

from training import policies
from training.models import ScrambleSet
from training.refusals import InvalidEntry, NoLongerPossible


def may_be_planned(day: date, today: date) -> bool:
    """Whether anything can be planned for a day of the club's calendar: none that is over."""
    return day >= today


def require_day_to_plan(day: date, today: date, *, field: str = "day") -> None:
    """Raise InvalidEntry unless :func:`may_be_planned`."""
    if not may_be_planned(day, today):
        raise InvalidEntry(_("That day is over. Choose today or a later day."), field=field)


def may_be_replanned(scramble_set: ScrambleSet | None, now: datetime) -> bool:
    """Whether the planner may touch a set: one not drawn yet (None), or that nobody has seen."""
    return scramble_set is None or not policies.has_opened(scramble_set, now)


def require_replannable(scramble_set: ScrambleSet | None, now: datetime) -> None:
    """Raise NoLongerPossible unless :func:`may_be_replanned`."""
    if not may_be_replanned(scramble_set, now):
        raise NoLongerPossible(
            _(
                "That set has opened, so the plan does not change it any more. Under Corrections "
                "it can be taken out, or kept open longer."
            )
        )
