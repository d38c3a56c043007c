"""Own plans that show what a review says."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from django.db.models import QuerySet

from solverworker.report import PlanReport
from training.models import Membership, ScrambleSet, Verdict
from training.selectors.set_heads import SetHead, head_of


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
    sets: QuerySet[ScrambleSet],
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
        .order_by("-plan__handed_in_at")
    )
    for verdict in verdicts:
        for code, share in blame_of(verdict):
            if code in techniques:
                found[code].append((share, verdict))
    return {
        code: tuple(
            _example(member, verdict, share, now)
            for share, verdict in sorted(shares, key=lambda one: -one[0])[:most]
        )
        for code, shares in found.items()
    }


def blame_of(verdict: Verdict) -> Sequence[tuple[str, Fraction]]:
    """The exact shares of blame in a stored verdict."""
    use = PlanReport.from_dict(verdict.report).techniques
    return [(code, Fraction(share)) for code, share in use.blame] if use else []


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
