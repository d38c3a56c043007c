"""Keeps the sums of a scramble equal to its verdicts: how many plans, exact ones, moves lost.

As in every table, a plan out of time is no exact one, and its moves are not those that count.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Count, F, Min, Q, Sum
from django.db.models.functions import Least

from solverworker.report import PlanReport
from training.models import Plan, Scramble, ScrambleSummary
from training.prepared import LARGE, MANY, SMALL, Prepared, PreparedChange

BATCH = 500

_IN_TIME = Q(out_of_time=False)


def take_on(*, scramble_id: int, report: PlanReport, out_of_time: bool) -> None:
    """Count one plan more, which was just checked.

    So a verdict costs the same whether ten members planned the scramble or two thousand.
    """
    exact = int(report.excess == 0 and not out_of_time)
    lost = 0 if out_of_time else report.excess or 0
    if not _taken_on(scramble_id, exact, lost, report.best):
        store([scramble_id])


_taken_on = PreparedChange(
    lambda scramble, exact, lost, best: (
        ScrambleSummary.objects.filter(scramble=scramble),
        {
            "plans": F("plans") + 1,
            "exact": F("exact") + exact,
            "lost": F("lost") + lost,
            "best": Least("best", best),
        },
    ),
    *(LARGE, SMALL, SMALL, SMALL),
)


def _due(scrambles: Iterable[int]) -> dict[int, ScrambleSummary]:
    return {
        pk: ScrambleSummary(scramble_id=pk, plans=plans, exact=exact, lost=lost, best=best)
        for pk, plans, exact, lost, best in _sums_of(list(scrambles))
    }


_sums_of: Prepared[tuple[int, int, int, int, int]] = Prepared(
    lambda scrambles: (
        Plan.objects.filter(scramble__in=scrambles)
        .checked()
        .for_counting_scrambles()
        .values("scramble_id")
        .annotate(
            all_plans=Count("pk"),
            all_exact=Count("pk", filter=Q(verdict__excess=0) & _IN_TIME),
            all_lost=Sum("verdict__excess", filter=_IN_TIME, default=0),
            least=Min("verdict__best"),
        )
        .values_list("scramble_id", "all_plans", "all_exact", "all_lost", "least")
    ),
    MANY,
)


def store(scrambles: Iterable[int]) -> None:
    """Replace the rows of these scrambles."""
    ids = list(scrambles)
    due = _due(ids)
    if len(due) < len(ids):
        ScrambleSummary.objects.filter(scramble__in=set(ids) - set(due)).delete()
    ScrambleSummary.objects.bulk_create(
        due.values(),
        BATCH,
        update_conflicts=True,
        unique_fields=["scramble"],
        update_fields=["plans", "exact", "lost", "best"],
    )


def differing(set_id: int) -> list[str]:
    """Where the sums of a set's scrambles and its verdicts disagree, in words."""
    ids = list(Scramble.objects.filter(scramble_set=set_id).values_list("pk", flat=True))
    due = {pk: _figures(one) for pk, one in _due(ids).items()}
    kept = {
        one.scramble_id: _figures(one) for one in ScrambleSummary.objects.filter(scramble__in=ids)
    }
    return [f"set {set_id}, scramble {pk}" for pk in ids if due.get(pk) != kept.get(pk)]


def _figures(summary: ScrambleSummary) -> tuple[int, int, int, int]:
    return (summary.plans, summary.exact, summary.lost, summary.best)
