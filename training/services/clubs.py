"""A club's settings of its days, and its days off."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from training import challenging, clock, dispatch, policies, rights
from training.models import SETTINGS, Club, DayOff, Kind, Membership, ScrambleSet
from training.refusals import InvalidEntry
from training.services import corrections
from training.services.issuing import withdraw_sealed
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
        if "table_to" in changes and _has_challenges_to_come(club, now or timezone.now()):
            challenging.require_told(club.table_to)
        club.save(update_fields=changes)
        withdraw_sealed(club=club, now=now or timezone.now())
        dispatch.ask_for_drawing_after_commit()
    return club


def _has_challenges_to_come(club: Club, now: datetime) -> bool:
    """Whether a series that goes by the club's rules is still to announce a challenge."""
    today = clock.local_date(now, club.zone)
    found = club.series.filter(kind=Kind.CHALLENGE, club_rules=True, stopped_on=None)
    return found.filter(Q(only_on=None) | Q(only_on__gte=today)).exists()


def add_day_off(
    *,
    by: Membership,
    day: date,
    reason: str = "",
    take_out: bool | None = None,
    now: datetime | None = None,
) -> DayOff:
    """Note a date without a set of any series. Sealed ones go.

    ``take_out``: whether sets of that day that are open are taken out for everybody,
    or run on; None asks, by raising InvalidEntry for the field ``open_set``. Raises
    NotAllowed, InvalidEntry for a date out of reach or over, and what
    :func:`training.services.corrections.take_set_out` raises.
    """
    rights.require_coach(by)
    reason = require_storable(reason, "reason")
    require_in_reach(day, "day")
    now = now or timezone.now()
    open_sets = _open_sets_of(by.club, day, now)
    if open_sets and take_out is None:
        raise InvalidEntry(
            _(
                "The set of that day is open. Choose whether it is taken out for everybody or "
                "runs on."
            ),
            field="open_set",
        )
    with transaction.atomic():
        for one in open_sets if take_out else ():
            corrections.take_set_out(
                scramble_set=one, by=by, reason=reason or _("day off"), now=now
            )
        off, _new = DayOff.objects.get_or_create(
            club=by.club, day=day, defaults={"reason": reason[:80]}
        )
        withdraw_sealed(club=by.club, now=now, day=day)
    return off


def _open_sets_of(club: Club, day: date, now: datetime) -> list[ScrambleSet]:
    """The sets of a day that are open and count. Raises InvalidEntry for a day that is over."""
    opened = ScrambleSet.objects.of_club(club).issued().opened(now).filter(day=day)
    found = [one for one in opened.select_related("club") if policies.is_open(one, now)]
    if not found and day < clock.local_date(now, club.zone):
        raise InvalidEntry(
            _(
                "That day is over, so a day off cannot be noted for it. To let its set count for "
                "nobody, open everybody’s plans of that set and take it out."
            ),
            field="day",
        )
    return [one for one in found if not one.taken_out]


def remove_day_off(*, by: Membership, day: date) -> None:
    """Take a day off back; the set of that day is issued when its time comes."""
    rights.require_coach(by)
    with transaction.atomic():
        DayOff.objects.filter(club=by.club, day=day).delete()
        dispatch.ask_for_drawing_after_commit()
