"""Own plans that show what a review says."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from itertools import islice

from solverworker.causes import CAUSES
from solverworker.cube.solving import also_solved
from solverworker.report import PlanReport
from training.account import NOT_EXPLAINED, OTHER_SCRAMBLE, Missing
from training.models import Membership, PlanKind, ScrambleSet, Verdict
from training.rules import CAP
from training.selectors.set_heads import SetHead, head_of, load_named


@dataclass(frozen=True, slots=True)
class Example:
    """An own plan that lost moves to a technique."""

    plan_id: int
    head: SetHead
    number: int
    canonical: str
    lost: float


def examples_of(
    member: Membership,
    sets: Iterable[ScrambleSet],
    now: datetime,
    techniques: Sequence[str],
    most: int,
) -> Mapping[str, tuple[Example, ...]]:
    """By technique, the own plans that lost most to it, newest first among equals."""
    if not most:
        return {}
    found: dict[str, list[tuple[Fraction, Verdict]]] = defaultdict(list)
    verdicts = (
        Verdict.objects.counting()
        .in_sets(sets)
        .filter(plan__membership=member, excess__gt=0)
        .select_related("plan__scramble__scramble_set")
        .defer("report")
        .order_by("-plan__handed_in_at")
    )
    for verdict in verdicts:
        for code, share in blame_of(verdict):
            if code in techniques:
                found[code].append((share, verdict))
    dearest = {
        code: sorted(shares, key=lambda one: -one[0])[:most] for code, shares in found.items()
    }
    load_named(
        verdict.plan.scramble.scramble_set for shares in dearest.values() for _, verdict in shares
    )
    return {
        code: tuple(_example(member, verdict, share, now) for share, verdict in shares)
        for code, shares in dearest.items()
    }


def blame_of(verdict: Verdict) -> Sequence[tuple[str, Fraction]]:
    """The exact shares of blame in a stored verdict."""
    kept = verdict.techniques
    return [(code, Fraction(share)) for code, share in kept["blame"].items()] if kept else []


def _example(member: Membership, verdict: Verdict, share: Fraction, now: datetime) -> Example:
    plan = verdict.plan
    scramble_set = plan.scramble.scramble_set
    scramble_set.club = member.club
    return Example(
        plan_id=plan.pk,
        head=head_of(scramble_set, now),
        number=plan.scramble.number,
        canonical=plan.canonical,
        lost=float(share),
    )


MOST_SHOWN = 2
MOST_READ = 100
"""The newest unsolved plans that are looked through for a slip."""


def plans_that_show(
    member: Membership, sets: Iterable[ScrambleSet], now: datetime, code: str | None
) -> tuple[Example, ...]:
    """Two own plans that show a heading of the account; none for what is not a plan.

    Of a slip the newest unsolved plans that it would explain; of all else those
    that cost most.
    """
    if code is None or code in (Missing.NOT_HANDED_IN, Missing.OUT_OF_TIME, Missing.WITHDRAWN):
        return ()
    if code in CAUSES:
        return examples_of(member, sets, now, [code], MOST_SHOWN).get(code, ())
    verdicts = (
        Verdict.objects.counting()
        .in_sets(sets)
        .filter(plan__membership=member, solved=False)
        .select_related("plan__scramble__scramble_set")
        .order_by("-plan__handed_in_at")
    )
    if code == Missing.NO_PLAN:
        shown = list(verdicts.filter(plan__kind=PlanKind.NO_PLAN)[:MOST_SHOWN])
    else:
        unsolved = verdicts.exclude(plan__kind=PlanKind.NO_PLAN).prefetch_related(
            "plan__scramble__scramble_set__scrambles"
        )[:MOST_READ]
        shown = list(islice((one for one in unsolved if code in slips_of(one)), MOST_SHOWN))
    load_named(verdict.plan.scramble.scramble_set for verdict in shown)
    return tuple(_example(member, verdict, Fraction(CAP), now) for verdict in shown)


def slips_of(verdict: Verdict) -> tuple[str, ...]:
    """The kinds of slip that would explain an unsolved plan of a closed set; never none."""
    report = PlanReport.from_dict(verdict.report)
    scramble = verdict.plan.scramble
    others = [
        (one.number, one.text)
        for one in scramble.scramble_set.scrambles.all()
        if one.pk != scramble.pk
    ]
    another = also_solved(report, scramble.scramble_set.colours, others)
    return (*report.slips, *((OTHER_SCRAMBLE,) if another else ())) or (NOT_EXPLAINED,)
