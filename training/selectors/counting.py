"""The times over which members count, and which sets of many lie inside."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from training.models import Club, CountingPeriod, Membership, ScrambleSet, SetSummary
from training.models.plans import VerdictQuerySet

Periods = Mapping[int, Sequence[CountingPeriod]]
"""By membership; none for who never counted. Made by :func:`periods_of` or :func:`people_of`."""


def periods_of(memberships: Iterable[int]) -> Periods:
    """The periods of some memberships. One query."""
    return _by_member(CountingPeriod.objects.filter(membership__in=list(memberships)))


def people_of(club: Club | int) -> tuple[list[Membership], Periods]:
    """Everybody of a club who ever counted, by name, with the periods. One query."""
    found = CountingPeriod.objects.of_club(club).select_related("membership")
    rows = list(found.order_by("membership__display_name", "membership", "begins_at"))
    people = {one.membership_id: one.membership for one in rows}
    return list(people.values()), _by_member(rows)


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
