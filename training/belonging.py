"""Which sets are whose to plan, and what may be done with a group. Beside :mod:`training.policies`.

Each rule is a pair where something is refused by it: one half answers, the one
named ``require_…`` raises a refusal in words.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime

from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext as _

from training.models import Group, GroupTime, Membership, Plan, ScrambleSet, Standing
from training.models.sets import GroupOfSet, given_to
from training.prepared import LARGE, MANY, Prepared
from training.refusals import NoLongerPossible


def is_given(
    times: Iterable[GroupTime], groups: Collection[int], scramble_set: ScrambleSet
) -> bool:
    """Whether a set is somebody's to plan. ``groups``: for which it is; none: for everybody.

    One for groups is for who belongs to one of them all the while that it is open: the
    set lies wholly inside one of the ``times``, by when it was to close.
    """
    return not groups or any(
        one.group_id in groups and one.holds(scramble_set.opens_at, scramble_set.due_at)
        for one in times
    )


def after_move(
    times: Iterable[GroupTime], membership_id: int, group_id: int | None, begins: datetime
) -> list[GroupTime]:
    """The times of a membership once it belongs to a group from an instant on; None: to none.

    Not stored. What was noted for later is replaced. Who goes on belonging does so
    without a seam: a set may lie across it.
    """
    found = [
        GroupTime(
            membership_id=membership_id,
            group_id=one.group_id,
            begins_at=one.begins_at,
            ends_at=begins if one.ends_at is None else min(one.ends_at, begins),
        )
        for one in sorted(times, key=lambda one: one.begins_at)
        if one.begins_at < begins
    ]
    if group_id is None:
        return found
    if found and found[-1].group_id == group_id and found[-1].ends_at == begins:
        found[-1].ends_at = None
        return found
    made = GroupTime(membership_id=membership_id, group_id=group_id, begins_at=begins)
    return [*found, made]


def plain(times: Iterable[GroupTime]) -> list[tuple[int, datetime, datetime | None]]:
    """Times as they compare."""
    return [(one.group_id, one.begins_at, one.ends_at) for one in times]


def given_or_begun(membership_id: int, *, at: str = "") -> Q:
    """For a filter of sets: those given to a membership, and those begun by who was moved since.

    ``at`` as in :func:`training.models.sets.given_to`.
    """
    begun = Plan.objects.filter(scramble__scramble_set=OuterRef(f"{at}pk"))
    return given_to(membership_id, at=at) | Q(Exists(begun.filter(membership=membership_id)))


def is_theirs(membership_id: int, scramble_set: ScrambleSet) -> bool:
    """Whether a set may rank somebody: it is given to them, or they have begun it. One query."""
    return bool(_theirs(membership_id, scramble_set.pk))


_theirs = Prepared(
    lambda member, set_id: (
        ScrambleSet.objects.filter(given_or_begun(member), pk=set_id).order_by().values_list("pk")
    ),
    *(LARGE, LARGE),
)


def load_groups(sets: Iterable[ScrambleSet]) -> None:
    """Load for which groups some sets are, where that is not loaded. One query; none for no set.

    As ``prefetch_related_objects(sets, "groups")`` does it.
    """
    found: dict[int, list[Group]] = {}
    wanted = [one for one in sets if "groups" not in getattr(one, _LOADED, ())]
    for one in wanted:
        found[one.pk] = []
    for each in _groups_of(list(found)):
        found[each.scramble_set_id].append(each.group)
    for one in wanted:
        groups = one.groups.all()
        groups._result_cache, groups._prefetch_done = found[one.pk], True  # type: ignore[attr-defined]
        one.__dict__.setdefault(_LOADED, {})["groups"] = groups


_LOADED = "_prefetched_objects_cache"
_groups_of = Prepared(
    lambda sets: (
        GroupOfSet.objects.filter(scramble_set__in=sets).select_related("group").order_by("group")
    ),
    MANY,
)


def was_open_to_read(
    membership: Membership, after: Iterable[GroupTime], now: datetime
) -> ScrambleSet | None:
    """A set that a move would give to ``membership``, a coach, who could read its answers; or None.

    Coaches are not sealed from the sets of groups that are not theirs, nor kept from planning in
    them for themselves. So none becomes theirs that is open, or that they have begun.
    """
    if not membership.competes and membership.stopped_competing_at is None:
        return None
    times = list(after)
    opened = ScrambleSet.objects.filter(club=membership.club_id).shared().for_groups().opened(now)
    begun = Plan.objects.filter(scramble__scramble_set=OuterRef("pk"), membership=membership)
    read = opened.filter(Q(closes_at__gt=now) | Q(Exists(begun)))
    for one in read.exclude(given_to(membership.pk)).prefetch_related("groups"):
        if is_given(times, {group.pk for group in one.groups.all()}, one):
            return one
    return None


def require_not_read(membership: Membership, after: Iterable[GroupTime], now: datetime) -> None:
    """Raise NoLongerPossible where :func:`was_open_to_read` finds a set."""
    if was_open_to_read(membership, after, now) is not None:
        raise NoLongerPossible(
            _(
                "{member} coaches and competes, and could read the answers of a set that this "
                "would give them. Choose a day from tomorrow on."
            ).format(member=membership.display_name)
        )


def may_be_put_away(group: Group, now: datetime) -> bool:
    """Whether nobody belongs to a group, now or later, and no series issues sets for it.

    Of former members only numbers did.
    """
    times = GroupTime.objects.filter(group=group).ending_after(now)
    if times.exclude(membership__standing=Standing.FORMER).exists():
        return False
    return not group.series.filter(stopped_on__isnull=True).exists()


def require_put_away(group: Group, now: datetime) -> None:
    """Raise NoLongerPossible unless :func:`may_be_put_away`."""
    if not may_be_put_away(group, now):
        raise NoLongerPossible(
            _(
                "Somebody belongs to {group}, or will, or a series issues sets for it. Move them "
                "and stop the series first."
            ).format(group=group.name)
        )


def is_untouched_group(group: Group) -> bool:
    """Whether a group never had anybody nor any set, so that nothing is lost with it."""
    used = group.times.exists() or group.sets.exists() or group.series.exists()
    return not used


def is_group_in_use(group: Group) -> bool:
    """Whether a group has not been put away."""
    return group.archived_at is None


def require_group_in_use(group: Group) -> None:
    """Raise NoLongerPossible unless :func:`is_group_in_use`."""
    if not is_group_in_use(group):
        raise NoLongerPossible(
            _("{group} is put away. Take it up again first.").format(group=group.name)
        )
