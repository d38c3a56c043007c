"""The lines of a table over many closed sets, from sums that are kept: no plan is read for them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from typing import NamedTuple

from training import ranking
from training.models import PENDING, Membership, Plan, PlanStatus, SetSummary
from training.ranking import Score
from training.rules import CAP
from training.selectors.table_rows import Counted, SetScore, Unranked, outside_line


class SetSum(NamedTuple):
    """What one member's plans of one set came to.

    ``score``: of checked plans alone; ``withdrawn`` and ``pending``: how many
    others there are.
    """

    score: Score = Score()
    withdrawn: int = 0
    pending: int = 0

    @property
    def so_far(self) -> Score:
        """What was handed in came to, without what is missing."""
        return self.score + Score(CAP * self.withdrawn, crosses=self.withdrawn)


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
    others = Plan.objects.for_counting_scrambles().filter(
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
    person: Membership,
    counted: Sequence[Counted],
    sums: Mapping[int, SetSum],
    inside: Container[int],
) -> Unranked | None:
    """A member's line; None when no set counts for the member and none was planned.

    ``inside``: the sets that count. It has no cells.

    A scramble without a plan, and a withdrawn one, count the cap; one that
    waits counts nothing yet.
    """
    set_scores: list[SetScore] = []
    for one in counted:
        mine = sums.get(one.row.pk)
        if one.row.pk not in inside:
            outside = None if mine is None else mine.so_far
            set_scores.append(SetScore(one.row.pk, None, outside))
            continue
        mine = mine or SetSum()
        unsolved = len(one.numbers) - mine.score.crosses - mine.pending
        set_scores.append(
            SetScore(one.row.pk, mine.score + Score(CAP * unsolved, crosses=unsolved))
        )
    scores = tuple(each.score for each in set_scores if each.score is not None)
    if not scores:
        return outside_line(person, tuple(set_scores), ())
    return Unranked(
        person=person,
        late=len(scores) < len(set_scores),
        pending=sum(one.pending for key, one in sums.items() if key in inside),
        score=ranking.total(scores),
        mean_over=scores,
        counting=len(scores),
        cells=(),
        set_scores=tuple(set_scores),
    )
