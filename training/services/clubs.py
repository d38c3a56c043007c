"""A club's settings of its days, and its days off."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from training import dispatch, rights
from training.models import SETTINGS, Club, DayOff, Membership
from training.services.sets import withdraw_sealed
from training.services.validating import require_in_reach, require_storable, require_valid


def change_settings(
    *, by: Membership, changes: Mapping[str, Any], now: datetime | None = None
) -> Club:
    """Change some of the ``SETTINGS`` of a club, by name; the others stay as they are.

    What may stand in each is stated with its field. The club's row is locked and
    nothing but these columns is written, so that two coaches who change
    different settings at once both get what they chose.

    Sets that have not opened are drawn afresh by the new settings, by a worker
    within a moment; an open one runs on as it is. Raises NotAllowed or
    InvalidEntry; ValueError for what is no setting.
    """
    rights.require_coach(by)
    if not set(changes) <= set(SETTINGS):
        raise ValueError(f"no settings: {sorted(set(changes) - set(SETTINGS))}")
    if not changes:
        return by.club
    with transaction.atomic():
        club = Club.objects.select_for_update().get(pk=by.club_id)
        for name, value in changes.items():
            setattr(club, name, value)
        require_valid(club, changes)
        club.save(update_fields=changes)
        withdraw_sealed(club=club, now=now or timezone.now())
        dispatch.ask_for_drawing_after_commit()
    return club


def add_day_off(
    *, by: Membership, day: date, reason: str = "", now: datetime | None = None
) -> DayOff:
    """Note a date without a daily set. A set that has opened stays; a sealed one goes.

    Raises NotAllowed, or InvalidEntry for a date out of reach.
    """
    rights.require_coach(by)
    reason = require_storable(reason, "reason")
    require_in_reach(day, "day")
    with transaction.atomic():
        off, _new = DayOff.objects.get_or_create(
            club=by.club, day=day, defaults={"reason": reason[:80]}
        )
        withdraw_sealed(club=by.club, now=now or timezone.now(), day=day)
    return off


def remove_day_off(*, by: Membership, day: date) -> None:
    """Take a day off back; the set of that day is issued when its time comes."""
    rights.require_coach(by)
    with transaction.atomic():
        DayOff.objects.filter(club=by.club, day=day).delete()
        dispatch.ask_for_drawing_after_commit()
