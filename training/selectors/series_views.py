"""Series as programs read them: their rule in full, and the sets that follow from it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from training import clock
from training.models import Membership, Series
from training.rules import SetRules
from training.selectors import clubs, occurrences
from training.visibility import Sealed, require_group

LOOKED_AHEAD = timedelta(days=14)
"""So far ahead the sets of a series are told."""


@dataclass(frozen=True, slots=True)
class ComingSet:
    """A set that a series has, on a ``day`` of the club's calendar."""

    day: date
    opens_at: datetime
    closes_at: datetime


@dataclass(frozen=True, slots=True)
class GroupOfSeries:
    """A group that a series is for."""

    id: int
    name: str


@dataclass(frozen=True, slots=True)
class SeriesView:
    """A series with its rule. ``rules``: those that its next set gets.

    ``shortest``, ``longest``: of how many moves its crosses are; None: of any.

    ``groups``: for whom; none of them: for everybody. ``coming``: its sets of the
    next two weeks that have not opened, days off left out.
    """

    id: int
    name: str
    kind: str
    weekdays: tuple[int, ...]
    opens: time
    closes: time
    days_later: int
    scrambles: int
    spare: bool
    shortest: int | None
    longest: int | None
    club_rules: bool
    rules: SetRules
    groups: tuple[GroupOfSeries, ...]
    begins_on: date | None
    stopped_on: date | None
    only_on: date | None
    coming: tuple[ComingSet, ...]


def series_views(viewer: Membership, now: datetime) -> list[SeriesView]:
    """The series that come again, oldest first. Raises Sealed for who is no coach."""
    require_group(viewer)
    return [_view(viewer, one, now) for one in clubs.series_of(viewer.club)]


def series_for(viewer: Membership, series_id: int) -> Series:
    """A series of the viewer's club, also one of a single day. Raises Sealed."""
    require_group(viewer)
    found = clubs.one_series(viewer.club, series_id)
    if found is None:
        raise Sealed
    return found


def series_view(viewer: Membership, series_id: int, now: datetime) -> SeriesView:
    """One series as it stands. Raises Sealed."""
    return _view(viewer, series_for(viewer, series_id), now)


def _view(viewer: Membership, one: Series, now: datetime) -> SeriesView:
    one.club = viewer.club
    today = clock.local_date(now, viewer.club.zone)
    last = today + LOOKED_AHEAD
    off = occurrences.days_off_between(viewer.club, today, last)
    return SeriesView(
        id=one.pk,
        name=one.name,
        kind=one.kind,
        weekdays=tuple(one.weekdays),
        opens=one.opens,
        closes=one.closes,
        days_later=one.days_later,
        scrambles=one.scrambles,
        spare=one.spare,
        shortest=one.shortest,
        longest=one.longest,
        club_rules=one.club_rules,
        rules=one.rules_of_sets,
        groups=tuple(GroupOfSeries(each.pk, each.name) for each in one.groups.all()),
        begins_on=one.begins_on,
        stopped_on=one.stopped_on,
        only_on=one.only_on,
        coming=tuple(
            ComingSet(each.day, each.window.opens_at, each.window.closes_at)
            for each in occurrences.of_series(one, today, last, off=off)
            if each.window.opens_at > now
        ),
    )
