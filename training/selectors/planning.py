"""A week as its coach plans it: what falls on each day, what is left out, and its version."""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from training import clock, foresight, policies
from training.models import DayOff, Kind, Membership, OtherDay, ScrambleSet, Series
from training.models.series import MOST_DAYS_LATER
from training.selectors import occurrences
from training.selectors.occurrences import Occurrence
from training.selectors.set_heads import title_of

WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Crosses:
    """What a set to come holds, for a coach who may know it: how many crosses, in which colours."""

    scrambles: int
    colours: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlannedSet:
    """A set on a day of the plan, drawn already or not.

    ``series``: None for one that somebody gave; ``of_day``: its day by the rule.
    ``set_id``: once it has opened. ``crosses``: None where they are sealed for the
    viewer. ``may_change``: it is of a series and has not opened.
    """

    series: Series | None
    of_day: date
    kind: str
    name: str
    opens_at: datetime
    closes_at: datetime
    set_id: int | None
    crosses: Crosses | None
    groups: tuple[str, ...]
    moved: bool
    taken_out: bool
    may_change: bool


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A day of a series without its set; ``held_on``: where it is held instead, if anywhere."""

    series: Series
    day: date
    held_on: date | None


@dataclass(frozen=True, slots=True)
class PlannedDay:
    """A day of the plan. ``is_over``: nothing can be planned for it any more.

    ``closing``: sets that opened on an earlier day and close on this one.
    """

    day: date
    off: DayOff | None
    sets: tuple[PlannedSet, ...]
    closing: tuple[PlannedSet, ...]
    left_out: tuple[LeftOut, ...]
    is_over: bool


@dataclass(frozen=True, slots=True)
class PlannedWeek:
    """Seven days from a Monday on. ``version``: another one as soon as anything of it changes."""

    monday: date
    days: tuple[PlannedDay, ...]
    version: str


def week(viewer: Membership, monday: date, now: datetime) -> PlannedWeek:
    """The plan of the week from ``monday`` on. Six queries at most, however much is in it."""
    sunday = monday + timedelta(days=6)
    club = viewer.club
    today = clock.local_date(now, club.zone)
    # A long window may have opened in the week before, and close in this one.
    first = monday - timedelta(days=MOST_DAYS_LATER)
    series = occurrences.series_of(club, first, sunday)
    off = {one.day: one for one in DayOff.objects.filter(club=club, day__range=(first, sunday))}
    drawn = _drawn(viewer, first, sunday)
    by_day: dict[date, list[PlannedSet]] = defaultdict(list)
    for one in drawn:
        if policies.has_opened(one, now) or one.series_id is None:
            by_day[one.day].append(_of_row(one, now))
    opened = {(one.series_id, one.day) for one in drawn if policies.has_opened(one, now)}
    for each in series:
        for found in occurrences.of_series(each, first, sunday, off=off):
            to_come = found.window.closes_at > now and (each.pk, found.day) not in opened
            if to_come and found.day >= today:
                by_day[found.day].append(_of_rule(viewer, found, now))
    closing: dict[date, list[PlannedSet]] = defaultdict(list)
    for day, sets in by_day.items():
        for planned_set in sets:
            last = clock.closing_day(planned_set.closes_at, club.zone)
            if last != day:
                closing[last].append(planned_set)
    days = tuple(
        PlannedDay(
            day=day,
            off=off.get(day),
            sets=tuple(sorted(by_day[day], key=lambda one: (one.opens_at, one.closes_at))),
            closing=tuple(closing[day]),
            left_out=tuple(_left_out(series, day)),
            is_over=day < today,
        )
        for day in (monday + timedelta(days=n) for n in range(7))
    )
    return PlannedWeek(monday, days, _version(viewer, series, off, drawn, monday))


def _drawn(viewer: Membership, monday: date, sunday: date) -> list[ScrambleSet]:
    sets = ScrambleSet.objects.filter(club=viewer.club_id, day__range=(monday, sunday)).shared()
    return list(sets.select_related("series", "challenge").prefetch_related("groups"))


def _of_row(one: ScrambleSet, now: datetime) -> PlannedSet:
    opened = policies.has_opened(one, now)
    return PlannedSet(
        series=one.series,
        of_day=one.day,
        kind=one.kind,
        name=_name_of(one),
        opens_at=one.opens_at,
        closes_at=one.closes_at,
        set_id=one.pk if opened else None,
        crosses=None,
        groups=tuple(each.name for each in one.groups.all()),
        moved=False,
        taken_out=one.taken_out,
        may_change=False,
    )


def _name_of(one: ScrambleSet) -> str:
    """As its series is called, empty where it has no name; a challenge as it was announced.

    The second that somebody gave the same people on one day has its number.
    """
    if one.kind == Kind.CHALLENGE:
        return title_of(one)
    if one.series is not None:
        return one.series.name
    kind = str(Kind(one.kind).label)
    return "" if one.nth == 1 else f"{kind[:1].upper()}{kind[1:]} {one.nth}"


def _of_rule(viewer: Membership, one: Occurrence, now: datetime) -> PlannedSet:
    series = one.series
    told = foresight.sees_sealed_plan(viewer)
    return PlannedSet(
        series=series,
        of_day=one.of_day,
        kind=series.kind,
        name=series.name,
        opens_at=one.window.opens_at,
        closes_at=one.window.closes_at,
        set_id=None,
        crosses=Crosses(series.scrambles, series.rules_of_sets.colours) if told else None,
        groups=tuple(each.name for each in series.groups.all()),
        moved=one.moved,
        taken_out=False,
        may_change=one.window.opens_at > now,
    )


def _left_out(series: Sequence[Series], day: date) -> list[LeftOut]:
    return [
        LeftOut(each, day, other.held_on)
        for each in series
        for other in each.other_days.all()
        if other.day == day and other.held_on != day
    ]


def planned(found: PlannedWeek, series_id: int, day: date) -> PlannedSet | None:
    """The set of a series on a day of the week that can still be changed; None without one."""
    for one in found.days:
        for each in one.sets if one.day == day else ():
            if each.series is not None and each.series.pk == series_id and each.may_change:
                return each
    return None


def by_hand(viewer: Membership, monday: date) -> tuple[list[Series], list[OtherDay]]:
    """What a coach did by hand in a week: sets of a single day, and days that go otherwise."""
    sunday = monday + timedelta(days=6)
    once = Series.objects.of_club(viewer.club).filter(only_on__range=(monday, sunday))
    others = OtherDay.objects.filter(series__club=viewer.club, day__range=(monday, sunday))
    return (
        list(once.order_by("only_on", "opens")),
        list(others.select_related("series").filter(series__only_on=None)),
    )


def _version(
    viewer: Membership,
    series: Sequence[Series],
    off: Collection[date],
    drawn: Sequence[ScrambleSet],
    monday: date,
) -> str:
    """Of all that decides the plan. Sets that series issue follow from it, so they are not in."""
    sunday = monday + timedelta(days=6)
    told = [
        viewer.club.time_zone,
        [_columns(one) + [each.pk for each in one.groups.all()] for one in series],
        [
            _columns(other)
            for one in series
            for other in one.other_days.all()
            if monday <= other.day <= sunday
            or (other.held_on is not None and monday <= other.held_on <= sunday)
        ],
        sorted(str(one) for one in off if one >= monday),
        sorted(
            [one.pk, str(one.opens_at)]
            for one in drawn
            if one.series_id is None and one.day >= monday
        ),
    ]
    return hashlib.sha256(json.dumps(told, default=str).encode()).hexdigest()[:20]


def _columns(row: Series | OtherDay) -> list[str | int | list[int] | list[str] | None]:
    return [getattr(row, field.attname) for field in row._meta.concrete_fields]
