"""Old plans by new rules: checked anew beside their verdicts, looked at, then switched to.

Nothing that anybody sees changes before the switch, and then a set changes at
once, its summaries with it. Every step can be broken off and begun again:
what is done stays done, and doing it twice changes nothing.

A set that has closed has been read by everybody. Its verdicts get the newer
telling (techniques, words), but a *result* in it changes only when that is
asked for.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import Max, QuerySet
from django.utils import timezone

from solverworker.report import SOLVER_VERSION, PlanReport
from training import policies
from training.models import Plan, Recheck, ScrambleSet, Verdict
from training.services import confirming, outlooks, summaries
from training.services.verdicts import figures_of, kept_of

Checker = Callable[[str, str, Sequence[str]], PlanReport]
"""Checks a plan: scramble, plan, allowed colours."""

BATCH = 500

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Backlog:
    """Verdicts by older rules: ``old`` of them in all, ``done`` of these checked anew."""

    old: int
    done: int


@dataclass(frozen=True, slots=True)
class Change:
    """A plan whose result the newer rules change. Excess is None when not solved.

    ``held``: its set has closed, so it is left as it is unless that is asked for.
    ``trouble``: why it could not be checked anew; then nothing changes.
    """

    plan_id: int
    member: str
    club: str
    day: str
    number: int
    before: int | None
    after: int | None
    held: bool
    trouble: str


@dataclass(frozen=True, slots=True)
class Switched:
    """How many verdicts were replaced, how many left as they are, in how many sets."""

    plans: int
    held: int
    sets: int


def backlog() -> Backlog:
    """How many verdicts are by older rules, and of how many of them the newer ones are ready."""
    return Backlog(old=_old().count(), done=_ready().count())


def work(*, check: Checker, limit: int = BATCH) -> int:
    """Check the next plans anew. Returns how many were looked at; 0 when none is left.

    Goes through the plans in their order from the last one that is ready, so
    that a run broken off is taken up where it stopped; then looks once more for
    what an old worker recorded behind its back.
    """
    Recheck.objects.filter(rules_version__lt=SOLVER_VERSION).delete()
    last = _ready().aggregate(last=Max("plan_id"))["last"] or 0
    old = _old().select_related("plan__scramble__scramble_set").order_by("plan_id")
    verdicts = list(old.filter(plan_id__gt=last)[:limit]) or list(
        old.filter(plan__recheck__isnull=True)[:limit]
    )
    rows = [_checked(verdict, check) for verdict in verdicts]
    Recheck.objects.bulk_create(rows, ignore_conflicts=True)
    return len(rows)


def changes(*, now: datetime | None = None) -> Iterator[Change]:
    """Give the plans whose result changes, and those that could not be checked anew."""
    now = now or timezone.now()
    rows = (
        _ready()
        .filter(changes=True)
        .select_related("plan__verdict", "plan__membership", "plan__scramble__scramble_set__club")
        .order_by("plan_id")
    )
    for row in rows.iterator(BATCH):
        plan, scramble_set = row.plan, row.plan.scramble.scramble_set
        yield Change(
            plan_id=plan.pk,
            member=plan.membership.display_name,
            club=scramble_set.club.name,
            day=scramble_set.day.isoformat(),
            number=plan.scramble.number,
            before=plan.verdict.excess,
            after=row.report["excess"] if row.report else plan.verdict.excess,
            held=not policies.result_may_change(scramble_set, now),
            trouble=row.trouble,
        )


def switch(
    *,
    with_closed: bool = False,
    now: datetime | None = None,
    told: Callable[[int], None] | None = None,
) -> Switched:
    """Put what is ready in place of the verdicts, set by set, each at once with its summaries.

    ``with_closed``: change results in sets that have closed, too. ``told``: is
    called with the number of plans done so far after each set.
    """
    now = now or timezone.now()
    sets = list(
        ScrambleSet.objects.filter(scrambles__plans__recheck__rules_version=SOLVER_VERSION)
        .order_by("pk")
        .distinct()
    )
    plans = held = 0
    for one in sets:
        # By the plans' ids: a join would look at all that is ready again for each set.
        ids = list(Plan.objects.filter(scramble__scramble_set=one).values_list("pk", flat=True))
        ready = list(_ready().filter(plan__in=ids, report__isnull=False))
        if not policies.result_may_change(one, now, with_closed=with_closed):
            held += sum(row.changes for row in ready)
            ready = [row for row in ready if not row.changes]
        with transaction.atomic():
            confirming.settle(set_id=one.pk, now=now)
            done = [row.plan_id for row in ready if _replace(row)]
            Plan.objects.filter(pk__in=done).checked().update(rules_version=SOLVER_VERSION)
            # What a plan leaves is told of the colour that it is judged for, if it solves.
            changed = {row.plan_id for row in ready if row.changes}
            outlooks.await_anew(plan_ids=changed.intersection(done))
            # Also what came too late, because the verdict is by these rules already.
            Recheck.objects.filter(pk__in=[row.pk for row in ready]).delete()
            summaries.renew_sets(set_ids=[one.pk])
        plans += len(done)
        if told:
            told(plans)
    return Switched(plans=plans, held=held, sets=len(sets))


def _old() -> QuerySet[Verdict]:
    return Verdict.objects.with_words().filter(rules_version__lt=SOLVER_VERSION)


def _ready() -> QuerySet[Recheck]:
    return Recheck.objects.filter(rules_version=SOLVER_VERSION)


def _checked(verdict: Verdict, check: Checker) -> Recheck:
    plan = verdict.plan
    row = Recheck(plan=plan, rules_version=SOLVER_VERSION, changes=True)
    try:
        report = check(plan.scramble.text, plan.canonical, plan.scramble.scramble_set.colours)
    except ValueError as error:
        log.warning("Plan %s cannot be checked by rules %s: %s", plan.pk, SOLVER_VERSION, error)
        row.trouble = (str(error) or type(error).__name__)[:200]
        return row
    row.report = report.to_dict()
    row.changes = any(getattr(verdict, name) != value for name, value in figures_of(report).items())
    return row


def _replace(row: Recheck) -> bool:
    """Replace a verdict by older rules. Whether this call was the one that did."""
    assert row.report is not None
    report = PlanReport.from_dict(row.report)
    won = Verdict.objects.filter(plan_id=row.plan_id, rules_version__lt=row.rules_version).update(
        **kept_of(report), checked_at=row.checked_at
    )
    return won == 1
