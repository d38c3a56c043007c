"""What a move of members to a group from a day on would change, before it is saved."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from training import belonging, clock, policies, visibility
from training.models import Group, GroupTime, Membership, Plan, ScrambleSet
from training.selectors.groups import state_of
from training.selectors.set_heads import SetHead, head_of, load_named

MOST_SETS = 12
"""So many sets are named in a preview, the newest; of others it is told how many there are."""


@dataclass(frozen=True, slots=True)
class MovedMember:
    """Somebody who is moved. ``before``: the group on that day, empty for none.

    ``replaced``: groups that were noted for later and fall away; ``changes``: whether
    anything changes at all.
    """

    id: int
    name: str
    before: str
    replaced: tuple[str, ...]
    changes: bool


@dataclass(frozen=True, slots=True)
class ChangedSet:
    """A set for groups that becomes, or ceases to be, somebody's to plan.

    By display names. ``kept``: those of ``lose`` who have planned in it already.
    """

    head: SetHead
    to_come: bool
    gain: tuple[str, ...]
    lose: tuple[str, ...]
    kept: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MovePreview:
    """What a move changes. ``state``: of :func:`state_of`, to be sent along when it is saved."""

    group_id: int | None
    group: str
    from_day: date
    members: tuple[MovedMember, ...]
    sets: tuple[ChangedSet, ...]
    more_sets: int
    state: str


def move_preview(
    viewer: Membership,
    memberships: Sequence[Membership],
    group: Group | None,
    from_day: date,
    now: datetime,
) -> MovePreview:
    """What changes if these belong to ``group`` (None: to none) from a day on.

    Raises Sealed for no coach. A constant number of queries.
    """
    visibility.require_group(viewer)
    begins = clock.local_to_utc(from_day, clock.MIDNIGHT, viewer.club.zone)
    names = {one.pk: one.display_name for one in memberships}
    before: dict[int, list[GroupTime]] = defaultdict(list)
    for one in GroupTime.objects.filter(membership__in=names).select_related("group"):
        before[one.membership_id].append(one)
    after = {
        pk: belonging.after_move(before[pk], pk, group.pk if group else None, begins)
        for pk in names
    }
    changed = _changed_sets(viewer, names, before, after, begins, now)
    return MovePreview(
        group_id=group.pk if group else None,
        group=group.name if group else "",
        from_day=from_day,
        members=tuple(_moved(pk, names[pk], before[pk], after[pk], begins) for pk in names),
        sets=tuple(changed[:MOST_SETS]),
        more_sets=len(changed[MOST_SETS:]),
        state=state_of(names),
    )


def _moved(
    pk: int, name: str, before: list[GroupTime], after: list[GroupTime], begins: datetime
) -> MovedMember:
    here = [
        one
        for one in before
        if one.begins_at <= begins and (one.ends_at is None or one.ends_at > begins)
    ]
    return MovedMember(
        id=pk,
        name=name,
        before=here[0].group.name if here else "",
        replaced=tuple(one.group.name for one in before if one.begins_at > begins),
        changes=belonging.plain(before) != belonging.plain(after),
    )


def _changed_sets(
    viewer: Membership,
    names: dict[int, str],
    before: dict[int, list[GroupTime]],
    after: dict[int, list[GroupTime]],
    begins: datetime,
    now: datetime,
) -> list[ChangedSet]:
    """The newest first."""
    sets = ScrambleSet.objects.of_club(viewer.club).shared().for_groups().due_after(begins)
    found = list(sets.order_by("-opens_at"))
    load_named(found)
    plans = Plan.objects.filter(scramble__scramble_set__in=found, membership__in=names)
    planned = set(plans.values_list("scramble__scramble_set_id", "membership_id"))
    changed = []
    for one in found:
        one.club = viewer.club
        groups = {group.pk for group in one.groups.all()}
        was = {pk for pk in names if belonging.is_given(before[pk], groups, one)}
        will = {pk for pk in names if belonging.is_given(after[pk], groups, one)}
        if was == will:
            continue
        lose = was - will
        changed.append(
            ChangedSet(
                head=head_of(one, now),
                to_come=not policies.has_opened(one, now),
                gain=tuple(names[pk] for pk in names if pk in will - was),
                lose=tuple(names[pk] for pk in names if pk in lose),
                kept=tuple(names[pk] for pk in names if pk in lose and (one.pk, pk) in planned),
            )
        )
    return changed
