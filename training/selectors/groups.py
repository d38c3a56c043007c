"""Groups: who belongs to which, when, and what a move from a day on would change."""

from __future__ import annotations

import hashlib
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from training import belonging, clock, policies, visibility
from training.models import Group, GroupOfSet, GroupTime, Membership
from training.visibility import Sealed


@dataclass(frozen=True, slots=True)
class Spell:
    """A time over which somebody belongs to a group, in days of the club's calendar.

    ``until``: the last day; None: until further notice.
    """

    group_id: int
    group: str
    since: date
    until: date | None


@dataclass(frozen=True, slots=True)
class GroupMember:
    """Somebody who can be moved. ``group``: where they belong today; None: nowhere.

    ``to_come``: where they will belong later.
    """

    id: int
    name: str
    group: Spell | None
    to_come: tuple[Spell, ...]


@dataclass(frozen=True, slots=True)
class GroupView:
    """A group with who belongs to it today. ``own_sets``: how many sets it ever had to itself.

    ``empty``: nobody belongs to it, now or later, so it may be put away.
    """

    id: int
    name: str
    in_use: bool
    members: tuple[GroupMember, ...]
    own_sets: int
    empty: bool


@dataclass(frozen=True, slots=True)
class Groups:
    """A club's groups, and those who belong to none today."""

    groups: tuple[GroupView, ...]
    nowhere: tuple[GroupMember, ...]


def group_of_each(memberships: Iterable[int], now: datetime) -> dict[int, str]:
    """The names of the groups to which some memberships belong now. One query."""
    times = GroupTime.objects.at(now).filter(membership__in=list(memberships))
    return dict(times.values_list("membership_id", "group__name"))


def groups_overview(viewer: Membership, now: datetime) -> Groups:
    """The club's groups, those put away last. Raises Sealed for no coach. Four queries."""
    visibility.require_group(viewer)
    times = GroupTime.objects.ending_after(now).filter(membership__club=viewer.club_id)
    spells: dict[int, list[GroupTime]] = defaultdict(list)
    for one in times.select_related("group", "membership"):
        spells[one.membership_id].append(one)
    here: dict[int | None, list[GroupMember]] = defaultdict(list)
    people = Membership.objects.filter(club=viewer.club_id).not_archived()
    for person in people.order_by("display_name"):
        theirs = spells.get(person.pk, [])
        current = next((one for one in theirs if one.begins_at <= now), None)
        here[current.group_id if current else None].append(
            GroupMember(
                id=person.pk,
                name=person.display_name,
                group=_spell(current, viewer) if current else None,
                to_come=tuple(_spell(one, viewer) for one in theirs if one.begins_at > now),
            )
        )
    own = Counter(
        GroupOfSet.objects.filter(group__club=viewer.club_id).values_list("group_id", flat=True)
    )
    # An archived account may still belong: it may be opened again.
    held = {
        one.group_id
        for theirs in spells.values()
        for one in theirs
        if not policies.is_former(one.membership)
    }
    found = [
        GroupView(
            id=one.pk,
            name=one.name,
            in_use=belonging.is_group_in_use(one),
            members=tuple(here[one.pk]),
            own_sets=own[one.pk],
            empty=one.pk not in held,
        )
        for one in Group.objects.of_club(viewer.club_id)
    ]
    found.sort(key=lambda one: (not one.in_use, one.name.casefold()))
    return Groups(tuple(found), tuple(here[None]))


def group_for(viewer: Membership, group_id: int) -> Group:
    """A group of the club, for coaches. Raises Sealed."""
    visibility.require_group(viewer)
    found = Group.objects.of_club(viewer.club_id).filter(pk=group_id).first()
    if found is None:
        raise Sealed
    return found


def state_of(memberships: Iterable[int]) -> str:
    """All that stands of who belongs where, as a short text: another one once anything changed.

    One query.
    """
    times = GroupTime.objects.filter(membership__in=list(memberships))
    rows = times.order_by("membership_id", "begins_at").values_list(
        "membership_id", "group_id", "begins_at", "ends_at"
    )
    return hashlib.sha256(repr(list(rows)).encode()).hexdigest()[:16]


def _spell(one: GroupTime, viewer: Membership) -> Spell:
    zone = viewer.club.zone
    return Spell(
        group_id=one.group_id,
        group=one.group.name,
        since=clock.local_date(one.begins_at, zone),
        until=None if one.ends_at is None else clock.closing_day(one.ends_at, zone),
    )
