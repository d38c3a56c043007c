"""The lines of a table over many closed sets, from sums that are kept: no plan is read for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from training import policies, ranking
from training.models import PENDING, Membership, Plan, PlanStatus, SetSummary
from training.ranking import Score
from training.rules import CAP
from training.selectors.table_rows import Counted, SetScore, Unranked


class SetSum(NamedTuple):
    """What one member's plans of one set came to.

    ``score``: of checked plans alone; ``withdrawn`` and ``pending``: how many
    others there are.
    """

    score: Score = Score()
    withdrawn: int = 0
    pending: int = 0


Sums = Mapping[int, Mapping[int, SetSum]]
"""By membership and set; only where something was handed in."""


def sums_of(set_ids: Iterable[int]) -> Sums:
    """The sums of closed sets. Two queries, of which the second reads next to nothing."""
    ids = list(set_ids)
    found: dict[int, dict[int, SetSum]] = defaultdict(dict)
    kept = SetSummary.objects.filter(scramble_set__in=ids).order_by()
    for member, set_id, points, solved, exact, plans in kept.values_list(
        "membership_id", "scramble_set_id", "points", "solved", "exact", "plans"
    ):
        found[member][set_id] = SetSum(Score(points, solved, exact, plans))
    others = Plan.objects.filter(
        scramble__scramble_set__in=ids, status__in=[PlanStatus.WITHDRAWN, *PENDING]
    )
    for member, set_id, status in others.order_by().values_list(
        "membership_id", "scramble__scramble_set_id", "status"
    ):
        so_far = found[member].get(set_id, SetSum())
        waits = status in PENDING
        found[member][set_id] = so_far._replace(
            withdrawn=so_far.withdrawn + (not waits), pending=so_far.pending + waits
        )
    return found


def unranked_sums(
    person: Membership, counted: Sequence[Counted], sums: Mapping[int, SetSum]
) -> Unranked | None:
    """A member's line, or None when no set counts for the member. It has no cells.

    A scramble without a plan, and a withdrawn one, count the cap; one that
    waits counts nothing yet.
    """
    set_scores: list[SetScore] = []
    for one in counted:
        mine = sums.get(one.row.pk)
        if not policies.counts_for(person, one.row, handed_in=mine is not None):
            set_scores.append(SetScore(one.row.pk, None))
            continue
        mine = mine or SetSum()
        unsolved = one.scrambles - mine.score.crosses - mine.pending
        set_scores.append(
            SetScore(one.row.pk, mine.score + Score(CAP * unsolved, crosses=unsolved))
        )
    scores = tuple(each.score for each in set_scores if each.score is not None)
    if not scores:
        return None
    return Unranked(
        person=person,
        late=len(scores) < len(set_scores),
        pending=sum(sums[one.row.pk].pending for one in counted if one.row.pk in sums),
        score=ranking.total(scores),
        mean_over=scores,
        counting=len(scores),
        cells=(),
        set_scores=tuple(set_scores),
    )
