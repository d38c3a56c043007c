"""Accounts of members from what is kept: summaries, and what is missing from them."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from itertools import islice

from django.db.models import Count, TextField
from django.db.models.functions import Cast

from training.account import Account, Kept, Missing, Sums
from training.models import PENDING, Membership, Plan, PlanStatus, Scramble, ScrambleSet, SetSummary
from training.prepared import MANY, Prepared
from training.selectors.counting import Belonging, Insides, periods_of

ROWS_AT_ONCE = 2000
READ_AT_ONCE = 10
"""So many rows' crosses are read as one text: more would be held while others are made."""


def accounts_of(
    members: Sequence[Membership],
    sets: Iterable[ScrambleSet],
    *,
    limits: bool = True,
    now: datetime | None = None,
) -> dict[int, Account]:
    """The account of each member over closed sets, by membership. Six queries, one more
    where a set is for groups.

    Charges what the tables charge: a set that does not count for a member
    charges nothing, a plan that is still being checked neither, and one whose
    summary is of an older version and still to be made anew. ``limits``: of the
    reach. ``now``: where some sets may be open still, of which nothing is missing yet.
    """
    known, there = list(sets), scrambles_of(sets)
    closing = {one.pk: one.closes_at for one in known}
    sums = {member.pk: Sums() for member in members}
    periods, insides = periods_of(sums), Insides(known)
    belonging = Belonging(known, among=sums)
    inside = {pk: insides.of(periods.get(pk, ())) - belonging.not_given(pk) for pk in sums}
    planned: dict[tuple[int, int], int] = {}
    for member_id, set_id, plans, crosses in _kept(sums, known):
        if set_id in inside[member_id]:
            planned[member_id, set_id] = plans
            for kept in crosses:
                sums[member_id].add(kept)
    others = _unchecked(sums, sets)
    found = {}
    for member in members:
        missing = Counter[Missing]()
        for set_id, closes_at in closing.items():
            if set_id not in inside[member.pk]:
                continue
            unseen = there.get(set_id, 0) - planned.get((member.pk, set_id), 0)
            if not unseen:
                continue
            withdrawn, pending = others.get((member.pk, set_id), (0, 0))
            missing[Missing.WITHDRAWN] += withdrawn
            if now is None or closes_at <= now:
                missing[Missing.NOT_HANDED_IN] += unseen - withdrawn - pending
        found[member.pk] = sums[member.pk].account(missing, limits=limits)
    return found


def _kept(
    members: Iterable[int], sets: Sequence[ScrambleSet]
) -> Iterator[tuple[int, int, int, list[Kept]]]:
    """What is kept of each member's plans of each set: membership, set, plans, crosses.

    A year of a federation is some million small lists, which held at once cost more to keep than
    to add up; to read some of them as one text takes half of reading each.
    """
    rows = (
        SetSummary.objects.filter(scramble_set__in=sets, membership__in=list(members))
        .order_by()
        .values_list("membership_id", "scramble_set_id", "plans", Cast("crosses", TextField()))
        .iterator(ROWS_AT_ONCE)
    )
    while some := list(islice(rows, READ_AT_ONCE)):
        lists = json.loads(f"[{','.join(text for _, _, _, text in some)}]")
        for (member, set_id, plans, _), crosses in zip(some, lists, strict=True):
            yield member, set_id, plans, crosses


def scrambles_of(sets: Iterable[ScrambleSet]) -> dict[int, int]:
    """How many scrambles of each of some sets count."""
    return dict(_counting([one.pk for one in sets]))


_counting: Prepared[tuple[int, int]] = Prepared(
    lambda sets: (
        Scramble.objects.filter(scramble_set__in=sets, void=False)
        .values("scramble_set_id")
        .annotate(count=Count("pk"))
        .values_list("scramble_set_id", "count")
    ),
    MANY,
)


def _unchecked(
    members: Iterable[int], sets: Iterable[ScrambleSet]
) -> dict[tuple[int, int], tuple[int, int]]:
    """How many plans are withdrawn, and how many wait, by membership and set."""
    found: dict[tuple[int, int], list[int]] = defaultdict(lambda: [0, 0])
    for member, set_id, status in _not_checked([one.pk for one in sets], list(members)):
        found[member, set_id][status in PENDING] += 1
    return {key: (withdrawn, waiting) for key, (withdrawn, waiting) in found.items()}


_not_checked: Prepared[tuple[int, int, str]] = Prepared(
    lambda sets, members: (
        Plan.objects.filter(scramble__scramble_set__in=sets, membership__in=members)
        .for_counting_scrambles()
        .filter(status__in=[PlanStatus.WITHDRAWN, *PENDING])
        .values_list("membership_id", "scramble__scramble_set_id", "status")
    ),
    *(MANY, MANY),
)
