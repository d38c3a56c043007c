"""Keeps the summaries equal to the verdicts; rebuilds and compares them."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from django.db import transaction
from django.db.models import QuerySet

from solverworker.cube.solving import also_solved
from solverworker.report import PlanReport
from training import policies
from training.account import Crossed, Missing, crossed, to_json
from training.models import (
    Membership,
    Plan,
    PlanKind,
    Scramble,
    ScrambleSet,
    SetSummary,
    TechniqueCount,
    Verdict,
)
from training.prepared import LARGE, MANY, Prepared
from training.selectors.counting import Belonging, periods_of
from training.services import scramble_sums

BATCH = 500
_FIGURES = [
    one.name
    for one in SetSummary._meta.concrete_fields
    if not (one.primary_key or one.remote_field)
]


@dataclass
class _Count:
    called: int = 0
    answered: int = 0
    lost: Fraction = Fraction(0)


def _in_letters(kept: list[Any]) -> str:
    """The same for equal values: databases put the keys of an object in orders of their own."""
    return json.dumps(kept, sort_keys=True)


@dataclass
class _MemberSum:
    """Adds up the reports of one member in one set."""

    plans: int = 0
    solved: int = 0
    exact: int = 0
    lost: int = 0
    points: int = 0
    crosses: list[list[Any]] = field(default_factory=list)
    ends_on_bottom: int = 0
    turns_cube_late: int = 0
    back_turns: int = 0
    half_turns: int = 0
    counts: dict[str, _Count] = field(default_factory=lambda: defaultdict(_Count))

    def add(
        self, report: PlanReport, *, no_plan: bool, out_of_time: bool, solves_another: bool
    ) -> None:
        self.plans += 1
        one = crossed(report, solves_another=solves_another)
        if no_plan and not report.solved:
            one = Crossed(best=report.best, missing=Missing.NO_PLAN)
        elif out_of_time and report.solved:
            one = Crossed(best=report.best, missing=Missing.OUT_OF_TIME)
        self.crosses.append(to_json(one))
        self.points += one.points
        if not report.solved or report.excess is None or out_of_time:
            return
        self.solved += 1
        self.exact += report.excess == 0
        self.lost += report.excess
        if report.handling is not None:
            self.ends_on_bottom += report.handling.ends_on == "bottom"
            self.turns_cube_late += report.handling.rotations_after_first_move > 0
            self.back_turns += report.handling.back_turns
            self.half_turns += report.handling.half_turns
        if report.techniques is not None:
            for code in report.techniques.called:
                self.counts[code].called += 1
            for code in report.techniques.answered:
                self.counts[code].answered += 1
            for code, share in report.techniques.blame:
                self.counts[code].lost += Fraction(share)

    def rows(
        self, membership_id: int, set_id: int, *, counts: bool
    ) -> tuple[SetSummary | None, list[TechniqueCount]]:
        """The rows to store; none without a checked plan. ``counts``: they enter the totals."""
        if not self.plans:
            return None, []
        summary = SetSummary(
            membership_id=membership_id,
            scramble_set_id=set_id,
            counts=counts,
            plans=self.plans,
            solved=self.solved,
            exact=self.exact,
            lost=self.lost,
            points=self.points,
            crosses=sorted(self.crosses, key=_in_letters),
            ends_on_bottom=self.ends_on_bottom,
            turns_cube_late=self.turns_cube_late,
            back_turns=self.back_turns,
            half_turns=self.half_turns,
        )
        lines = [
            TechniqueCount(
                membership_id=membership_id,
                scramble_set_id=set_id,
                code=code,
                counts=counts,
                called=count.called,
                answered=count.answered,
                lost=float(count.lost),
            )
            for code, count in sorted(self.counts.items())
        ]
        return summary, lines


def renew(*, plan: Plan) -> None:
    """Make the summaries that a plan is part of anew. Call inside the transaction that changed it.

    The member's and the scramble's rows are locked first, always in this order,
    so that of two workers at once the second counts what the first has written
    (SQLite writes one at a time anyway).
    """
    _lock(plan)
    _store([(plan.membership_id, plan.scramble.scramble_set_id)])
    scramble_sums.store([plan.scramble_id])


def add(*, plan: Plan, report: PlanReport) -> None:
    """As :func:`renew`, for a plan that was just checked and counts from now on."""
    _lock(plan)
    _store([(plan.membership_id, plan.scramble.scramble_set_id)], [plan.scramble.scramble_set])
    scramble_sums.take_on(scramble_id=plan.scramble_id, report=report, out_of_time=plan.out_of_time)


def _lock(plan: Plan) -> None:
    if transaction.get_connection().features.has_select_for_update:
        Membership.objects.select_for_update().only("pk").get(pk=plan.membership_id)
        Scramble.objects.select_for_update().only("pk").get(pk=plan.scramble_id)


def renew_member(*, membership: Membership, set_ids: Iterable[int]) -> None:
    """Make one member's summaries in these sets anew, as after an erase. In its transaction."""
    _store([(membership.pk, set_id) for set_id in sorted(set_ids)])


def renew_sets(*, set_ids: Iterable[int]) -> None:
    """Make the summaries of whole sets anew, as after histories brought in or plans re-checked."""
    for set_id in set_ids:
        with transaction.atomic():
            of_set = ScrambleSet.objects.select_for_update().get(pk=set_id)
            members = set(
                Verdict.objects.filter(plan__scramble__scramble_set=set_id).values_list(
                    "plan__membership_id", flat=True
                )
            ) | set(
                SetSummary.objects.filter(scramble_set=set_id).values_list(
                    "membership_id", flat=True
                )
            )
            _store([(member, set_id) for member in sorted(members)], [of_set])
            scramble_sums.store(
                Scramble.objects.filter(scramble_set=set_id).values_list("pk", flat=True)
            )


def rebuild() -> int:
    """Make every summary anew from the verdicts. Returns how many sets were gone through."""
    ids = list(ScrambleSet.objects.order_by("pk").values_list("pk", flat=True))
    renew_sets(set_ids=ids)
    return len(ids)


def differences() -> list[str]:
    """Where summaries and verdicts disagree, in words; empty when all is well."""
    ids = ScrambleSet.objects.order_by("pk").values_list("pk", flat=True)
    return [about for set_id in ids for about in differences_of_set(set_id)]


def differences_of_set(set_id: int) -> list[str]:
    """Where the summaries of one set and its verdicts disagree, in words."""
    found: list[str] = []
    sums = _sums([set_id])
    kept = {one.membership_id: one for one in SetSummary.objects.filter(scramble_set=set_id)}
    counts: dict[int, dict[str, tuple[Any, ...]]] = defaultdict(dict)
    for count in TechniqueCount.objects.filter(scramble_set=set_id):
        counts[count.membership_id][count.code] = _of_count(count)
    members = sorted(set(kept) | set(counts) | {member for member, _ in sums})
    totalled = _totalled(members, [set_id])
    for member in members:
        summary, rows = sums[member, set_id].rows(
            member, set_id, counts=(member, set_id) in totalled
        )
        due = {row.code: _of_count(row) for row in rows}
        if _plain(summary) != _plain(kept.get(member)) or due != counts[member]:
            found.append(f"set {set_id}, membership {member}")
    return found + scramble_sums.differing(set_id)


def _of_count(count: TechniqueCount) -> tuple[Any, ...]:
    return (count.counts, count.called, count.answered, count.lost)


def _totalled(
    members: Iterable[int], set_ids: Iterable[int], loaded: Iterable[ScrambleSet] = ()
) -> set[tuple[int, int]]:
    """Of which members and sets the summaries enter the totals. ``loaded``: the sets, if at hand.

    Two queries, without ``loaded`` three; one more where a set is for groups.
    """
    people = list(members)
    periods = periods_of(people)
    sets = list(loaded) or list(ScrambleSet.objects.in_bulk(list(set_ids)).values())
    belonging = Belonging(sets, among=people)
    return {
        (member, one.pk)
        for one in sets
        for member in people
        if policies.enters_totals(periods.get(member, ()), one, given=belonging.gives(member, one))
    }


def count_set_anew(*, set_id: int) -> None:
    """Say anew whose summaries of a set enter totals, as after it was taken out."""
    kept = SetSummary.objects.filter(scramble_set=set_id)
    members = list(kept.values_list("membership_id", flat=True))
    counting = [member for member, _set in _totalled(members, [set_id])]
    for rows in (kept, TechniqueCount.objects.filter(scramble_set=set_id)):
        rows.exclude(membership__in=counting).update(counts=False)
        rows.filter(membership__in=counting).update(counts=True)


def count_anew(*, membership: Membership) -> None:
    """Say anew which of a member's summaries enter totals, as after periods or groups changed."""
    kept = SetSummary.objects.filter(membership=membership)
    periods = periods_of([membership.pk]).get(membership.pk, ())
    changed: dict[bool, list[int]] = {True: [], False: []}
    rows = list(kept.select_related("scramble_set"))
    belonging = Belonging((one.scramble_set for one in rows), among=[membership.pk])
    for one in rows:
        given = belonging.gives(membership.pk, one.scramble_set)
        counts = policies.enters_totals(periods, one.scramble_set, given=given)
        if counts != one.counts:
            changed[counts].append(one.scramble_set_id)
    for counts, set_ids in changed.items():
        kept.filter(scramble_set__in=set_ids).update(counts=counts)
        TechniqueCount.objects.filter(membership=membership, scramble_set__in=set_ids).update(
            counts=counts
        )


def _plain(summary: SetSummary | None) -> tuple[Any, ...] | None:
    if summary is None:
        return None
    names = [f.attname for f in SetSummary._meta.concrete_fields if f.attname != "id"]
    return tuple(getattr(summary, name) for name in names)


def _sums(
    set_ids: Sequence[int], member: int | None = None
) -> defaultdict[tuple[int, int], _MemberSum]:
    texts: dict[int, dict[int, str]] = defaultdict(dict)
    for set_id, scramble, text in _texts(set_ids):
        texts[set_id][scramble] = text
    # A whole set's verdicts are many, so they come bit by bit; one member's are few.
    every = _verdicts(set_ids).iterator(BATCH) if member is None else _of_member(set_ids, member)
    sums: defaultdict[tuple[int, int], _MemberSum] = defaultdict(_MemberSum)
    for member_id, set_id, scramble, kind, out_of_time, colours, report in every:
        told = PlanReport.from_dict(report)
        others = [(pk, text) for pk, text in texts[set_id].items() if pk != scramble]
        sums[member_id, set_id].add(
            told,
            no_plan=kind == PlanKind.NO_PLAN,
            out_of_time=out_of_time,
            solves_another=bool(also_solved(told, colours, others)),
        )
    return sums


def _verdicts(set_ids: Sequence[int]) -> QuerySet[Verdict, tuple[Any, ...]]:
    found = Verdict.objects.counting().filter(plan__scramble__scramble_set__in=set_ids)
    return found.values_list(
        "plan__membership_id",
        "plan__scramble__scramble_set_id",
        "plan__scramble_id",
        "plan__kind",
        "plan__out_of_time",
        "plan__scramble__scramble_set__colours",
        "report",
    )


_of_member = Prepared(
    lambda set_ids, member: _verdicts(set_ids).filter(plan__membership=member), *(MANY, LARGE)
)
_texts: Prepared[tuple[int, int, str]] = Prepared(
    lambda set_ids: Scramble.objects.filter(scramble_set__in=set_ids).values_list(
        "scramble_set_id", "pk", "text"
    ),
    MANY,
)


def _store(pairs: Sequence[tuple[int, int]], loaded: Iterable[ScrambleSet] = ()) -> None:
    """Replace the rows of these members in these sets; ``loaded``: the sets, if at hand."""
    if not pairs:
        return
    members, set_ids = {m for m, _ in pairs}, {s for _, s in pairs}
    sums = _sums(sorted(set_ids), next(iter(members)) if len(members) == 1 else None)
    totalled = _totalled(members, set_ids, loaded)
    summaries: list[SetSummary] = []
    counts: list[TechniqueCount] = []
    for member, set_id in pairs:
        summary, rows = sums[member, set_id].rows(
            member, set_id, counts=(member, set_id) in totalled
        )
        summaries += [summary] if summary else []
        counts += rows
    stale = {"membership__in": members, "scramble_set__in": set_ids}
    if len(summaries) < len(pairs):
        SetSummary.objects.filter(**stale).delete()
    TechniqueCount.objects.filter(**stale).delete()
    SetSummary.objects.bulk_create(
        summaries,
        BATCH,
        update_conflicts=True,
        unique_fields=["membership", "scramble_set"],
        update_fields=_FIGURES,
    )
    TechniqueCount.objects.bulk_create(counts, BATCH)
