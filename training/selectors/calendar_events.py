"""What a calendar tells somebody of a club: that a set of a kind opens, when it closes, days off.

Nothing of what is in a set: no idea, colours, count or name. Of one to come it is what the
planner and the series say; it is drawn only later.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import prefetch_related_objects

from training import clock, foresight, rights, visibility
from training.models import CalendarAddress, DayOff, Membership, ScrambleSet
from training.selectors import occurrences
from training.selectors.own_windows import key_of, windows_to_come

BACK, AHEAD = timedelta(days=14), timedelta(days=42)
"""How far a calendar reaches."""


@dataclass(frozen=True, slots=True)
class SetEvent:
    """A set: ``key`` stays the same while it does; ``kind`` of the kinds of sets."""

    key: str
    kind: str
    opens_at: datetime
    closes_at: datetime


@dataclass(frozen=True, slots=True)
class ClubCalendar:
    """A club's calendar as one of its people may read it, earliest first."""

    club: str
    slug: str
    sets: tuple[SetEvent, ...]
    days_off: tuple[date, ...]


def of_address(token_hash: str) -> Membership | None:
    """Whose address it is; None for none, and for somebody whose account is not open."""
    found = (
        CalendarAddress.objects.filter(token_hash=token_hash)
        .select_related("membership__club", "membership__person")
        .first()
    )
    if found is None or not rights.may_enter(found.membership):
        return None
    return found.membership


def address_made_at(membership: Membership) -> datetime | None:
    """When the address of somebody's calendar was made; None without one."""
    made = CalendarAddress.objects.filter(membership=membership).values_list("made_at", flat=True)
    return made.first()


def calendar_of(viewer: Membership, now: datetime) -> ClubCalendar:
    """Two weeks back and six ahead. A constant number of queries."""
    club = viewer.club
    today = clock.local_date(now, club.zone)
    first, last = today - BACK, today + AHEAD
    # Asked of every set of a series that is for groups.
    prefetch_related_objects([viewer], "group_times")
    opened = visibility.sets_to_plan(viewer, now).filter(day__range=(first, last))
    given = foresight.announced_sets(viewer, now).filter(day__range=(first, last))
    rows = [*opened, *given]
    sets = [_of_row(one) for one in rows]
    # At another hour than the others': sealed for them until then.
    own = windows_to_come(viewer, now)
    sets += [SetEvent(one.key, one.kind, one.opens_at, one.closes_at) for one in own]
    there = {one.key for one in sets}
    for one in occurrences.of_club(club, today, last):
        if one.window.closes_at <= now or f"series-{one.series.pk}-{one.day}" in there:
            continue
        if foresight.sees_series(viewer, one.series, one.window):
            key = f"series-{one.series.pk}-{one.of_day}"
            window = one.window
            sets.append(SetEvent(key, one.series.kind, window.opens_at, window.closes_at))
    off = DayOff.objects.filter(club=club, day__range=(first, last))
    return ClubCalendar(
        club=club.name,
        slug=club.slug,
        sets=tuple(sorted(sets, key=lambda one: (one.opens_at, one.key))),
        days_off=tuple(off.order_by("day").values_list("day", flat=True)),
    )


def _of_row(one: ScrambleSet) -> SetEvent:
    return SetEvent(key_of(one), one.kind, one.opens_at, one.closes_at)
