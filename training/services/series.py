"""Series: starting, changing and stopping the rules by which sets issue themselves."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date, datetime, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import challenging, clock, dispatch, rights
from training.models import SERIES_SETTINGS, Club, Group, Kind, Membership, ScrambleSet, Series
from training.models.series import LENGTHS_OUT_OF_BOUNDS, WHEN
from training.refusals import InvalidEntry
from training.services.issuing import withdraw_sealed
from training.services.validating import (
    groups_of_club,
    require_in_reach,
    require_storable,
    require_valid,
)


def start_series(
    *,
    by: Membership,
    settings: Mapping[str, Any],
    begins_on: date,
    groups: Collection[Group] = (),
    now: datetime | None = None,
) -> Series:
    """A new series beside those that are there. Its first set is of ``begins_on`` at the earliest.

    ``settings``: of the ``SERIES_SETTINGS``, by name; rules that are not given are
    the club's. ``groups``: for whom; none: for everybody. Raises NotAllowed,
    InvalidEntry; ValueError for what is no setting.
    """
    rights.require_coach(by)
    _require_settings(settings)
    require_in_reach(begins_on, "begins_on")
    now = now or timezone.now()
    if begins_on < clock.local_date(now, by.club.zone):
        raise InvalidEntry(_("A series begins today at the earliest."), field="begins_on")
    with transaction.atomic():
        club = Club.objects.select_for_update().get(pk=by.club_id)
        made = Series(club=club, begins_on=begins_on)
        _set(made, settings)
        made.save()
        made.groups.set(groups_of_club(club, groups))
        dispatch.ask_for_drawing_after_commit()
    return made


def change_series(
    *,
    by: Membership,
    series: Series,
    changes: Mapping[str, Any],
    groups: Collection[Group] | None = None,
    now: datetime | None = None,
) -> Series:
    """Change some of the ``SERIES_SETTINGS`` of a series, by name; the others stay.

    As with a club's settings, nothing but these columns is written, so that two
    coaches at once both get what they chose. ``groups``: for whom from now on; None:
    as before. Sets that have not opened are drawn afresh; an open one runs on. Other
    days or hours hold from today on. Raises NotAllowed, InvalidEntry; ValueError for
    what is no setting.
    """
    rights.require_coach(by, club_id=series.club_id)
    _require_settings(changes)
    now = now or timezone.now()
    if not changes and groups is None:
        return series
    with transaction.atomic():
        locked = _locked(series)
        _set(locked, changes)
        written = {*changes}
        today = clock.local_date(now, locked.club.zone)
        if written & set(WHEN) and (locked.begins_on is None or locked.begins_on < today):
            # A long window that would have opened days ago by the new rule is none.
            locked.begins_on = today
            written.add("begins_on")
        if written:
            locked.save(update_fields=written)
        if groups is not None:
            locked.groups.set(groups_of_club(locked.club, groups))
        _draw_afresh(locked, now)
    return locked


def stop_series(*, by: Membership, series: Series, now: datetime | None = None) -> Series:
    """Let a series issue no more; a set of it that is open runs on. Raises NotAllowed."""
    rights.require_coach(by, club_id=series.club_id)
    now = now or timezone.now()
    with transaction.atomic():
        locked = _locked(series)
        today = clock.local_date(now, locked.club.zone)
        opened = ScrambleSet.objects.filter(series=locked).opened(now).filter(day__gte=today)
        locked.stopped_on = today + timedelta(days=1) if opened.exists() else today
        locked.save(update_fields=["stopped_on"])
        _draw_afresh(locked, now)
    return locked


def go_on(*, by: Membership, series: Series, now: datetime | None = None) -> Series:
    """Let a series that was stopped issue sets again, from today on.

    Raises NotAllowed, InvalidEntry for challenges whose result nobody would be told.
    """
    rights.require_coach(by, club_id=series.club_id)
    now = now or timezone.now()
    with transaction.atomic():
        locked = _locked(series)
        if locked.stopped_on is not None:
            _require_told(locked)
            locked.stopped_on = None
            locked.begins_on = clock.local_date(now, locked.club.zone)
            locked.save(update_fields=["stopped_on", "begins_on"])
            _draw_afresh(locked, now)
    return locked


def _locked(series: Series) -> Series:
    # The club first: whoever plans its week locks that.
    club = Club.objects.select_for_update().get(pk=series.club_id)
    locked = Series.objects.select_for_update().get(pk=series.pk)
    locked.club = club
    return locked


def _draw_afresh(series: Series, now: datetime) -> None:
    withdraw_sealed(club=series.club, now=now, series=series)
    dispatch.ask_for_drawing_after_commit()


def _require_settings(settings: Mapping[str, Any]) -> None:
    if not set(settings) <= set(SERIES_SETTINGS):
        raise ValueError(f"no settings: {sorted(set(settings) - set(SERIES_SETTINGS))}")


def _set(series: Series, settings: Mapping[str, Any]) -> None:
    for name, value in settings.items():
        setattr(series, name, require_storable(value, name) if name == "name" else value)
    require_valid(series, settings)
    _require_lengths(series)
    _require_told(series)


def _require_told(series: Series) -> None:
    """Raise InvalidEntry for challenges whose result would be for the coaches alone."""
    if series.kind == Kind.CHALLENGE:
        challenging.require_told(series.rules_of_sets.table_to)


def _require_lengths(series: Series) -> None:
    """Both lengths or none, the smaller first; a challenge is random. Raises InvalidEntry."""
    shortest, longest = series.shortest, series.longest
    if (shortest is None) != (longest is None):
        missing = "longest" if longest is None else "shortest"
        raise InvalidEntry(str(LENGTHS_OUT_OF_BOUNDS), field=missing)
    if shortest is not None and longest is not None and shortest > longest:
        raise InvalidEntry(str(LENGTHS_OUT_OF_BOUNDS), field="longest")
    if shortest is not None and series.kind == Kind.CHALLENGE:
        raise InvalidEntry(
            _("A challenge is drawn by chance alone. Leave the lengths empty."), field="shortest"
        )
