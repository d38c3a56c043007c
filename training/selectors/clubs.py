"""Who belongs where."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from copy import copy
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any, TypeVar

from training import clock
from training.models import Club, DayOff, Group, Invite, Membership, Person, ScrambleSet, Series
from training.policies import is_archived, waits_for_consent, waits_to_be_let_in
from training.prepared import LARGE, TEXT, Prepared
from training.rights import may_coach, may_enter, may_open
from training.selectors import occurrences

Changed = TypeVar("Changed", Club, Series)


def memberships_of(person: Person) -> list[Membership]:
    """A person's memberships that are not archived, clubs included, by club name.

    Only of clubs that this sign-in opens, here as below (:func:`training.rights.may_open`).
    """
    return [one for one in _of_person(person.pk) if may_open(person, one.club_id)]


_of_person = Prepared(
    lambda person: (
        Membership.objects.filter(person=person)
        .not_archived()
        .select_related("club", "person")
        .order_by("club__name")
    ),
    LARGE,
)


def open_membership(person: Person, slug: str) -> Membership | None:
    """The person's open membership in the club named by ``slug``; None looks like no such club."""
    found = membership_of(person, slug)
    return found if found is not None and may_enter(found) else None


def membership_of(person: Person, slug: str) -> Membership | None:
    """The person's membership in the club named by ``slug``, whatever its standing."""
    for found in _of_person_by_slug(person.pk, slug):
        if may_open(person, found.club_id):
            # Who asks is known already, with the clubs that this sign-in opens.
            found.person = person
            return found
    return None


_of_person_by_slug = Prepared(
    lambda person, slug: (
        Membership.objects.select_related("club").filter(person=person, club__slug=slug).order_by()
    ),
    LARGE,
    TEXT,
)


def slugs_of(club_ids: Iterable[int]) -> list[str]:
    """The names of clubs in addresses, in order."""
    found = Club.objects.filter(pk__in=list(club_ids)).order_by("slug")
    return list(found.values_list("slug", flat=True))


def membership_in(club: Club, membership_id: int) -> Membership | None:
    """A membership of this club, whatever its standing, but for former members."""
    return next(iter(_in_club(club.pk, membership_id)), None)


_in_club = Prepared(
    lambda club, membership: (
        Membership.objects.filter(club=club, pk=membership)
        .not_former()
        .select_related("club", "person")
        .order_by()
    ),
    *(LARGE, LARGE),
)


def memberships_in(club: Club, ids: Iterable[int]) -> list[Membership]:
    """Those of some memberships that this club has, but for former members, by name."""
    found = Membership.objects.filter(club=club, pk__in=list(ids)).not_former()
    return list(found.select_related("club", "person").order_by("display_name"))


def language_for(person: Person, slug: str = "") -> str:
    """The language that a person chose, else that of the club named by ``slug``.

    Without ``slug``: of the first club by name. Empty for somebody of no club who chose nothing.
    """
    if person.language:
        return person.language
    clubs = Club.objects.filter(memberships__person=person).order_by("name")
    if slug:
        clubs = clubs.filter(slug=slug)
    return clubs.values_list("language", flat=True).first() or ""


@dataclass(frozen=True, slots=True)
class Roster:
    """A club's people as its coaches see them, and the invites that still let someone in."""

    newcomers: tuple[Membership, ...]
    waiting_for_consent: tuple[Membership, ...]
    coaches: tuple[Membership, ...]
    members: tuple[Membership, ...]
    archived: tuple[Membership, ...]
    invites: tuple[Invite, ...]
    groups: tuple[Group, ...]


def roster(club: Club, now: datetime) -> Roster:
    """Everybody of the club, by standing and role. A constant number of queries."""
    people = list(
        Membership.objects.filter(club=club)
        .select_related("person", "consent_noted_by")
        .order_by("display_name")
    )
    return Roster(
        newcomers=tuple(p for p in people if waits_to_be_let_in(p)),
        waiting_for_consent=tuple(p for p in people if waits_for_consent(p)),
        coaches=tuple(p for p in people if may_coach(p)),
        members=tuple(p for p in people if may_enter(p) and not may_coach(p)),
        archived=tuple(p for p in people if is_archived(p)),
        invites=tuple(Invite.objects.filter(club=club).usable(now).order_by("-created_at")),
        groups=tuple(Group.objects.of_club(club).in_use()),
    )


FAR = 21
"""Within how many days a set is looked for by which a change of settings is dated."""


def first_day_of_settings(club: Club, changes: Mapping[str, Any], now: datetime) -> date | None:
    """The first day with a set that would be made by changed settings; None within three weeks.

    Of the series that go by the club's rules. A day whose set has opened keeps it.
    """
    changed = _with(club, changes)
    today = clock.local_date(now, changed.zone)
    series = [one for one in occurrences.series_of(changed, *_near(today)) if one.club_rules]
    return _first_day(series, now, today)


def first_day_of_series(series: Series, changes: Mapping[str, Any], now: datetime) -> date | None:
    """The first day with a set that a changed series would have; None within three weeks."""
    today = clock.local_date(now, series.club.zone)
    return _first_day([_with(series, changes)], now, today)


def _with(row: Changed, changes: Mapping[str, Any]) -> Changed:
    changed = copy(row)
    for name, value in changes.items():
        setattr(changed, name, value)
    return changed


def _near(today: date) -> tuple[date, date]:
    return today, today + timedelta(days=FAR - 1)


def _first_day(series: list[Series], now: datetime, today: date) -> date | None:
    if not series:
        return None
    off = occurrences.days_off_between(series[0].club, *_near(today))
    opened = ScrambleSet.objects.filter(series__in=series, day__gte=today).opened(now)
    keeps = set(opened.values_list("series", "day"))
    return min(
        (
            one.day
            for each in series
            for one in occurrences.of_series(each, *_near(today), off=off)
            if one.window.closes_at > now and (each.pk, one.day) not in keeps
        ),
        default=None,
    )


def series_of(club: Club) -> list[Series]:
    """The series of a club that come again, oldest first."""
    found = list(Series.objects.of_club(club).repeating().prefetch_related("groups"))
    for one in found:
        one.club = club
    return found


def one_series(club: Club, series_id: int) -> Series | None:
    """A series of the club, also one of a single day; None if it has none of that number."""
    found = Series.objects.of_club(club).prefetch_related("groups").filter(pk=series_id).first()
    if found is not None:
        found.club = club
    return found


def days_off(club: Club, from_day: date) -> list[DayOff]:
    """The club's days without a set from ``from_day`` on, earliest first."""
    return list(DayOff.objects.filter(club=club, day__gte=from_day))


def groups_of(club: Club) -> tuple[str, ...]:
    """The names of a club's groups that are in use."""
    return tuple(Group.objects.of_club(club).in_use().values_list("name", flat=True))
