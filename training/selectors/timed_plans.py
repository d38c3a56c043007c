"""Timed plans alone, beside a table that takes every plan: a list that charges nobody."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from training import ranking
from training.models import Plan
from training.ranking import Score
from training.rules import Timing
from training.selectors.attempts import InspectionView, inspection_view
from training.selectors.table_rows import Placing, Table, WithoutRank


@dataclass(frozen=True, slots=True)
class TimedPlans:
    """One member's plans that are in time: timed, from one look, not late.

    ``score``: of these alone; what is missing charges nothing. ``mean``: milliseconds of
    inspection; ``give_or_take``: as far as the mean can be wrong; ``over``: how many are over.
    """

    membership_id: int
    member: str
    own: bool
    score: Score
    mean: int
    give_or_take: int
    over: int


def timed_plans(table: Table) -> tuple[TimedPlans, ...]:
    """Who has timed plans in a table's sets that leave timing to the members, the best mean first.

    Only who stands in the table, by what it has of them. One query, none without such a set.
    """
    set_ids = [one.id for one in table.sets if one.timing == Timing.EITHER]
    if not set_ids:
        return ()
    lines: tuple[Placing | WithoutRank, ...] = (
        *(*table.rows, *table.late),
        *(*table.under_way, *table.outside),
    )
    names = {one.membership_id: (one.member, one.own) for one in lines}
    plans = (
        Plan.objects.checked()
        .for_counting_scrambles()
        .filter(scramble__scramble_set__in=set_ids, inspection__isnull=False)
        .select_related("inspection", "verdict")
        .defer("verdict__report", "verdict__techniques")
        .order_by()
    )
    found: dict[int, list[tuple[Plan, InspectionView]]] = defaultdict(list)
    for plan in plans:
        view = inspection_view(plan)
        if plan.membership_id in names and view is not None and view.in_time:
            found[plan.membership_id].append((plan, view))
    made = [_of_member(member, *names[member], theirs) for member, theirs in found.items()]
    return tuple(sorted(made, key=_order))


def _of_member(
    membership_id: int, member: str, own: bool, plans: list[tuple[Plan, InspectionView]]
) -> TimedPlans:
    times = [view.milliseconds or 0 for _plan, view in plans]
    return TimedPlans(
        membership_id=membership_id,
        member=member,
        own=own,
        score=ranking.score(ranking.mark_for(plan.verdict.excess) for plan, _view in plans),
        mean=round(sum(times) / len(times)),
        give_or_take=round(sum(view.give_or_take for _plan, view in plans) / len(plans)),
        over=sum(view.over for _plan, view in plans),
    )


def _order(one: TimedPlans) -> tuple[float, int, int, str]:
    mean = one.score.points / one.score.crosses
    return mean, -one.score.crosses, one.mean, one.member.casefold()
