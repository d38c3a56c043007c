"""Accounts of members from what is kept: summaries, and what is missing from them."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence

from django.db.models import Count, QuerySet

from training.account import Account, Kept, Missing, account_of_kept
from training.models import PENDING, Membership, Plan, PlanStatus, Scramble, ScrambleSet, SetSummary
from training.selectors.counting import Insides, periods_of


def accounts_of(
    members: Sequence[Membership], sets: QuerySet[ScrambleSet], *, limits: bool = True
) -> dict[int, Account]:
    """The account of each member over closed sets, by membership. Five queries.

    Charges what the tables charge: a set that does not count for a member
    charges nothing, a plan that is still being checked neither, and one whose
    summary is of an older version and still to be made anew. ``limits``: of the
    reach.
    """
    known, there = list(sets), scrambles_of(sets)
    kept: dict[int, dict[int, tuple[int, list[Kept]]]] = {member.pk: {} for member in members}
    for member_id, set_id, plans, crosses in SetSummary.objects.filter(
        scramble_set__in=[one.pk for one in known], membership__in=kept
    ).values_list("membership_id", "scramble_set_id", "plans", "crosses"):
        kept[member_id][set_id] = plans, crosses
    others = _unchecked(kept, sets)
    periods, insides = periods_of(kept), Insides(known)
    found = {}
    for member in members:
        checked: list[Kept] = []
        missing = Counter[Missing]()
        inside = insides.of(periods.get(member.pk, ()))
        for one in known:
            if one.pk not in inside:
                continue
            plans, crosses = kept[member.pk].get(one.pk, (0, []))
            withdrawn, pending = others.get((member.pk, one.pk), (0, 0))
            checked += crosses
            missing[Missing.WITHDRAWN] += withdrawn
            missing[Missing.NOT_HANDED_IN] += there.get(one.pk, 0) - plans - withdrawn - pending
        found[member.pk] = account_of_kept(checked, missing, limits=limits)
    return found


def scrambles_of(sets: QuerySet[ScrambleSet]) -> dict[int, int]:
    """How many scrambles each of some sets has."""
    rows = Scramble.objects.filter(scramble_set__in=sets).values("scramble_set_id")
    return dict(rows.annotate(count=Count("pk")).values_list("scramble_set_id", "count"))


def _unchecked(
    members: Iterable[int], sets: QuerySet[ScrambleSet]
) -> dict[tuple[int, int], tuple[int, int]]:
    """How many plans are withdrawn, and how many wait, by membership and set."""
    found: dict[tuple[int, int], list[int]] = defaultdict(lambda: [0, 0])
    rows = (
        Plan.objects.filter(scramble__scramble_set__in=sets, membership__in=list(members))
        .filter(status__in=[PlanStatus.WITHDRAWN, *PENDING])
        .values_list("membership_id", "scramble__scramble_set_id", "status")
    )
    for member, set_id, status in rows:
        found[member, set_id][status in PENDING] += 1
    return {key: (withdrawn, waiting) for key, (withdrawn, waiting) in found.items()}
