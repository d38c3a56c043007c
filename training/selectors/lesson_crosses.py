"""Where an idea cost most: crosses of the group's own, with plans and ways that show it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from fractions import Fraction

from django.db.models.fields.json import KT

from solverworker.report import PlanReport, ShortestSolution
from training.models import Membership, Scramble, ScrambleSet, Verdict
from training.selectors.set_heads import SetHead, head_of, load_named

SCRAMBLES, MODELS, MISSED = 3, 2, 1


class Shows(StrEnum):
    """What a plan shows of an idea.

    ``ANSWERED``: an exact plan that uses it where it was called for; ``USED``: an exact plan that
    uses it; ``WITHOUT``: a plan whose rest does without it from where it was called for first.
    """

    ANSWERED = "answered"
    USED = "used"
    WITHOUT = "did_without"


@dataclass(frozen=True, slots=True)
class ShownPlan:
    """A plan to show to the group. ``member`` is for the coach; pages hide it unless asked."""

    plan_id: int
    member: str
    canonical: str
    excess: int
    shows: Shows
    report: PlanReport


@dataclass(frozen=True, slots=True)
class ShownWay:
    """A shortest way with the idea, where no exact plan of the group has it.

    ``after``: the moves of the plan ``plan_id`` that come before it; empty from the start.
    """

    way: ShortestSolution
    after: str = ""
    plan_id: int | None = None


@dataclass(frozen=True, slots=True)
class CostlyScramble:
    """A scramble of the group's own on which the technique cost most.

    ``plans``: at most two models, then one that did without; ``way``: in place of models.
    """

    head: SetHead
    number: int
    text: str
    best: int
    lost: float
    plans: tuple[ShownPlan, ...]
    way: ShownWay | None


def costly_crosses(
    viewer: Membership,
    code: str,
    sets: Iterable[ScrambleSet],
    now: datetime,
    *,
    of: Collection[Membership] | None = None,
) -> tuple[CostlyScramble, ...]:
    """The scrambles of some sets on which a technique cost most, dearest first.

    ``of``: by the plans of these alone.
    """
    verdicts = Verdict.objects.counting().in_sets(sets).filter(solved=True)
    if of is not None:
        verdicts = verdicts.filter(plan__membership__in=of)
    cost: dict[int, Fraction] = defaultdict(Fraction)
    blamed = verdicts.filter(techniques__blame__has_key=code)
    for scramble, share in blamed.annotate(share=KT(f"techniques__blame__{code}")).values_list(
        "plan__scramble_id", "share"
    ):
        cost[scramble] += Fraction(share)
    dearest = sorted(cost, key=lambda pk: (-cost[pk], pk))[:SCRAMBLES]
    by_scramble: dict[int, list[Verdict]] = defaultdict(list)
    for verdict in verdicts.filter(plan__scramble__in=dearest).select_related("plan__membership"):
        by_scramble[verdict.plan.scramble_id].append(verdict)
    rows = Scramble.objects.select_related("scramble_set").in_bulk(dearest)
    load_named(row.scramble_set for row in rows.values())
    found = []
    for pk in dearest:
        row = rows[pk]
        row.scramble_set.club = viewer.club
        plans, way = _shown(code, by_scramble[pk])
        found.append(
            CostlyScramble(
                head=head_of(row.scramble_set, now),
                number=row.number,
                text=row.text,
                best=by_scramble[pk][0].best,
                lost=float(cost[pk]),
                plans=plans,
                way=way,
            )
        )
    return tuple(found)


def shows(code: str, report: PlanReport) -> Shows | None:
    """What a solved plan shows of an idea; None: nothing that would be a model or a lack of it.

    A model is exact for the colour that was best: with moves lost elsewhere the
    group would learn these too. Who lost moves where the idea would have helped,
    but was never in want of it, did not do without.
    """
    use = report.techniques
    if use is None:
        return None
    if report.excess == 0 and code in use.used:
        return Shows.ANSWERED if code in use.answered else Shows.USED
    if code in use.called and code not in use.answered and Fraction(dict(use.blame).get(code, "0")):
        return Shows.WITHOUT
    return None


def _shown(code: str, verdicts: Sequence[Verdict]) -> tuple[tuple[ShownPlan, ...], ShownWay | None]:
    """Models, those that answered first; the dearest that did without; a way where no model is."""
    models, missed = [], []
    reports = [(PlanReport.from_dict(one.report), one) for one in verdicts]
    for report, verdict in reports:
        found = shows(code, report)
        if found is Shows.WITHOUT:
            share = Fraction(dict(report.techniques.blame)[code]) if report.techniques else 0
            missed.append((-share, verdict.plan_id, report, verdict))
        elif found is not None:
            models.append((found is Shows.USED, verdict.plan_id, report, verdict, found))
    models.sort(key=lambda one: one[:2])
    missed.sort(key=lambda one: one[:2])
    chosen = [(report, verdict, found) for _, _, report, verdict, found in models]
    shown = _unlike(chosen)[:MODELS]
    shown += [(report, verdict, Shows.WITHOUT) for _, _, report, verdict in missed[:MISSED]]
    plans = tuple(
        ShownPlan(
            plan_id=verdict.plan_id,
            member=verdict.plan.membership.display_name,
            canonical=verdict.plan.canonical,
            excess=report.excess or 0,
            shows=found,
            report=report,
        )
        for report, verdict, found in shown
    )
    if models:
        return plans, None
    # Ways that are nearest to the plan shown say most beside it.
    nearest = [(report, verdict) for _, _, report, verdict in missed]
    return plans, _way(code, [*nearest, *reports])


def _way(code: str, reports: Sequence[tuple[PlanReport, Verdict]]) -> ShownWay | None:
    """A shortest way with the idea: from the start, else from where a plan did without."""
    for report, _verdict in reports:
        for way in report.shortest:
            if any(idea.technique == code for idea in way.ideas):
                return ShownWay(way)
    for report, verdict in reports:
        for lost in report.lost:
            if code in lost.missing:
                before = " ".join(report.canonical.split()[: lost.token])
                return ShownWay(lost.way, before, verdict.plan_id)
    return None


_Chosen = tuple[PlanReport, Verdict, Shows]


def _unlike(plans: Sequence[_Chosen]) -> list[_Chosen]:
    """Plans in their order, of those with the same moves the first: a second shows nothing more."""
    first: dict[str, _Chosen] = {}
    for one in plans:
        first.setdefault(one[1].plan.canonical, one)
    return list(first.values())
