"""The times over which members count, and which sets of many lie inside."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence

from training import belonging
from training.models import (
    Club,
    CountingPeriod,
    Group,
    GroupTime,
    Membership,
    ScrambleSet,
    SetSummary,
)
from training.models.plans import VerdictQuerySet
from training.prepared import LARGE, MANY, Prepared

Periods = Mapping[int, Sequence[CountingPeriod]]
"""By membership; none for who never counted. Made by :func:`periods_of` or :func:`people_of`."""


def periods_of(memberships: Iterable[int]) -> Periods:
    """The periods of some memberships. One query."""
    return _by_member(_periods(list(memberships)))


_periods = Prepared(lambda ids: CountingPeriod.objects.filter(membership__in=ids), MANY)


def people_of(club: Club | int) -> tuple[list[Membership], Periods]:
    """Everybody of a club who ever counted, by name, with the periods. One query."""
    rows = _of_club(club if isinstance(club, int) else club.pk)
    people = {one.membership_id: one.membership for one in rows}
    return list(people.values()), _by_member(rows)


_of_club = Prepared(
    lambda club: (
        CountingPeriod.objects.of_club(club)
        .select_related("membership")
        .order_by("membership__display_name", "membership", "begins_at")
    ),
    LARGE,
)


def _by_member(rows: Iterable[CountingPeriod]) -> Periods:
    found: dict[int, list[CountingPeriod]] = defaultdict(list)
    for one in rows:
        found[one.membership_id].append(one)
    return found


def totalled(verdicts: VerdictQuerySet, sets: Iterable[ScrambleSet]) -> VerdictQuerySet:
    """Those of some verdicts in some sets that enter their members' totals.

    One query more, which finds little: few plan what does not count for them.
    """
    outside: dict[int, list[int]] = defaultdict(list)
    without = SetSummary.objects.filter(scramble_set__in=sets, counts=False)
    for set_id, member in without.values_list("scramble_set_id", "membership_id"):
        outside[member].append(set_id)
    verdicts = verdicts.in_sets(sets)
    for member, set_ids in outside.items():
        verdicts = verdicts.exclude(
            plan__membership=member, plan__scramble__scramble_set__in=set_ids
        )
    return verdicts


class Belonging:
    """Which of some sets are whose to plan: :func:`training.belonging.is_given` for many.

    One query, none where the sets' groups are loaded, and one more where any of the sets is for
    groups. ``among``: the only
    memberships that are asked about.
    """

    def __init__(self, sets: Iterable[ScrambleSet], *, among: Iterable[int] | None = None) -> None:
        known = list(sets)
        belonging.load_groups(known)
        self._sets = [one for one in known if one.groups.all()]
        self._groups = {one.pk: {group.pk for group in one.groups.all()} for one in self._sets}
        self._times: dict[int, list[GroupTime]] = defaultdict(list)
        if not self._groups:
            return
        times = GroupTime.objects.filter(group__in=set().union(*self._groups.values()))
        if among is not None:
            times = times.filter(membership__in=list(among))
        for one in times:
            self._times[one.membership_id].append(one)

    def not_given(self, membership_id: int) -> set[int]:
        """The ids of those sets that are not somebody's to plan."""
        return {one.pk for one in self._sets if not self.gives(membership_id, one)}

    def those_given(self, scramble_set: ScrambleSet) -> frozenset[int] | None:
        """To whom a set for groups is given; None: to everybody."""
        if scramble_set.pk not in self._groups:
            return None
        return frozenset(pk for pk in self._times if self.gives(pk, scramble_set))

    def gives(self, membership_id: int, scramble_set: ScrambleSet) -> bool:
        """Whether one of the sets is somebody's to plan."""
        groups = self._groups.get(scramble_set.pk, set())
        return belonging.is_given(self._times.get(membership_id, ()), groups, scramble_set)


class Whose:
    """Which of a table's sets count for whom, and which plans stand in it.

    ``group``: whose own table it is; None for one of everybody's, where every plan stands.
    In a group's table nobody stands with a set during which they never belonged.
    One query where any set may be for groups, two where some are.
    """

    def __init__(self, sets: Sequence[ScrambleSet], periods: Periods, group: Group | None) -> None:
        self._sets = {one.pk: one for one in sets}
        self._periods, self._insides = periods, Insides(sets)
        self._group = group
        self._times: dict[int, list[GroupTime]] = defaultdict(list)
        self._belonging = Belonging(sets) if group is None else None
        if group is not None:
            for one in GroupTime.objects.filter(group=group):
                self._times[one.membership_id].append(one)

    def inside(self, membership_id: int) -> set[int]:
        """The ids of the sets that count for somebody."""
        found = self._insides.of(self._periods.get(membership_id, ()))
        if self._belonging is not None:
            return found - self._belonging.not_given(membership_id)
        return {pk for pk in found if self._belongs(membership_id, pk, GroupTime.holds)}

    def shows(self, membership_id: int, set_id: int) -> bool:
        """Whether somebody's plans of a set stand in the table."""
        return self._group is None or self._belongs(membership_id, set_id, GroupTime.touches)

    def _belongs(self, membership_id: int, set_id: int, how: Callable[..., bool]) -> bool:
        one = self._sets[set_id]
        return any(how(time, one.opens_at, one.due_at) for time in self._times[membership_id])


class Insides:
    """Which of some sets lie inside somebody's periods, for thousands of sets and members.

    The same as :func:`training.policies.counts_for` for each, without asking for each.
    """

    def __init__(self, sets: Iterable[ScrambleSet]) -> None:
        self._sets = sorted(sets, key=lambda one: one.opens_at)
        self._opens = [one.opens_at for one in self._sets]

    def of(self, periods: Iterable[CountingPeriod]) -> set[int]:
        """The ids of those inside."""
        found: set[int] = set()
        for one in periods:
            first = bisect_left(self._opens, one.begins_at)
            last = bisect_left(self._opens, one.ends_at) if one.ends_at else len(self._opens)
            left = one.left_at
            found.update(
                each.pk for each in self._sets[first:last] if left is None or each.closes_at <= left
            )
        return found
