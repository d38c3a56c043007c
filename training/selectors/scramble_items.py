"""Scrambles looked at like the questions of a test: which were harder than others as long."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from django.db.models import Count, Min, Q, Sum

from training import statistics
from training.models import Membership, Plan, Scramble, ScrambleSet, ScrambleSummary
from training.prepared import MANY, Prepared
from training.selectors.set_heads import SetHead, head_of, load_named
from training.statistics import Interval


@dataclass(frozen=True, slots=True)
class Item:
    """A scramble as an item: facility (share of plans exactly at the best) beside the best."""

    head: SetHead
    number: int
    text: str
    best: int
    plans: int
    exact: int
    facility: Interval
    lost: int
    stands_out: bool


def items_of(
    viewer: Membership,
    sets: Iterable[ScrambleSet],
    chosen: set[int] | None,
    now: datetime,
    most: int | None,
) -> tuple[Item, ...]:
    """The ``most`` hardest scrambles; those that stand out, by Benjamini & Hochberg.

    A scramble's p-value is that of so few exact plans or fewer, were it as easy
    as all scrambles of the same best length together. ``chosen``: whose plans
    count; None for everybody's, which are summed up already.
    """
    rows = _sums(sets) if chosen is None else _sums_of(sets, chosen)
    by_best: dict[int, list[int]] = defaultdict(lambda: [0, 0])
    for row in rows:
        by_best[row.best][0] += row.exact
        by_best[row.best][1] += row.plans
    out = statistics.stand_out([_as_hard(row.exact, row.plans, *by_best[row.best]) for row in rows])
    hardest = sorted(
        zip(rows, out, strict=True), key=lambda one: (one[0].exact / one[0].plans, -one[0].lost)
    )[:most]
    scrambles = Scramble.objects.select_related("scramble_set").in_bulk(
        [row.scramble for row, _ in hardest]
    )
    load_named(one.scramble_set for one in scrambles.values())
    return tuple(
        _item(viewer, scrambles[row.scramble], row, stands_out, now) for row, stands_out in hardest
    )


class _ScrambleSum(NamedTuple):
    """A scramble's checked plans: how many, how many exact, moves lost, best length."""

    scramble: int
    plans: int
    exact: int
    lost: int
    best: int


def _sums(sets: Iterable[ScrambleSet]) -> list[_ScrambleSum]:
    rows = ScrambleSummary.objects.filter(scramble__scramble_set__in=sets).order_by("scramble_id")
    return [
        _ScrambleSum(*row)
        for row in rows.values_list("scramble_id", "plans", "exact", "lost", "best")
    ]


def _sums_of(sets: Iterable[ScrambleSet], chosen: set[int]) -> list[_ScrambleSum]:
    return [_ScrambleSum(*row) for row in _summed([one.pk for one in sets], sorted(chosen))]


_IN_TIME = Q(out_of_time=False)
_summed: Prepared[tuple[Any, ...]] = Prepared(
    lambda sets, members: (
        Plan.objects.checked()
        .for_counting_scrambles()
        .filter(scramble__scramble_set__in=sets, membership__in=members)
        .values("scramble_id")
        .annotate(
            all_plans=Count("pk"),
            all_exact=Count("pk", filter=Q(verdict__excess=0) & _IN_TIME),
            all_lost=Sum("verdict__excess", filter=_IN_TIME, default=0),
            least=Min("verdict__best"),
        )
        .order_by("scramble_id")
        .values_list("scramble_id", "all_plans", "all_exact", "all_lost", "least")
    ),
    *(MANY, MANY),
)


def _item(
    viewer: Membership, scramble: Scramble, row: _ScrambleSum, stands_out: bool, now: datetime
) -> Item:
    scramble.scramble_set.club = viewer.club
    return Item(
        head=head_of(scramble.scramble_set, now),
        number=scramble.number,
        text=scramble.text,
        best=row.best,
        plans=row.plans,
        exact=row.exact,
        facility=statistics.wilson(row.exact, row.plans),
        lost=row.lost,
        stands_out=stands_out,
    )


def _as_hard(exact: int, checked: int, all_exact: int, all_checked: int) -> float:
    return statistics.chance_of_so_few(exact, checked, all_exact / all_checked)
