"""Random sequences of corrections and undos against a plain recomputation, and what verify says.

The rules are product's own: a cross that is not solved counts 8, a void one nothing.
"""

from __future__ import annotations

import random
from datetime import timedelta
from fractions import Fraction

import pytest

from solverworker import tasks
from solverworker.review import check_plan
from tests.conftest import EASY, NOON, make_membership
from tests.training.test_corrections import BEST, HOUR, a_set, points
from tests.training.test_practice import WITHOUT_BASE_TURN
from training import visibility
from training.models import (
    Correction,
    Derived,
    Plan,
    PlanStatus,
    PracticeDue,
    Scramble,
    ScrambleSet,
)
from training.refusals import NoLongerPossible
from training.selectors import tables
from training.selectors.accounts import accounts_of
from training.services import correction_states, corrections, practice, summaries, verifying

pytestmark = pytest.mark.django_db
__all__ = ["a_set"]


def marked(plan: Plan | None, withdrawn: set[int]) -> int:
    """What a plan counts by product's rule, from what was written alone."""
    if plan is None or plan.pk in withdrawn:
        return 8
    report = check_plan(plan.scramble.text, plan.written, colours=["yellow"])
    return min(report.excess, 8) if report.solved else 8


def compare_practice(counting: list[Plan]) -> None:
    """What comes back is what it would be if the plans that count had been the only ones."""
    names = ("membership", "code", "step", "due_on", "last", "missed_plan")
    kept = set(PracticeDue.objects.values_list(*names))
    PracticeDue.objects.all().delete()
    for plan in sorted(counting, key=lambda one: (one.handed_in_at, one.pk)):
        report = check_plan(plan.scramble.text, plan.written, colours=["yellow"])
        practice.note(plan=plan, report=report)
    assert kept == set(PracticeDue.objects.values_list(*names))


@pytest.mark.parametrize("seed", range(6))
def test_any_sequence_of_corrections_and_undos_is_what_stands_in_the_end(
    given, club, coach, seed
) -> None:
    source = random.Random(seed)
    begins = NOON - timedelta(days=5)
    sets = [
        given.a_set(begins + n * timedelta(days=1), begins + (n + 1) * timedelta(days=1), EASY[:3])
        for n in range(3)
    ]
    people = [make_membership(club, name) for name in ("Ada", "Bo")]
    for who in people:
        for one in sets:
            for number in (1, 2, 3):
                if source.random() < 0.8:
                    written = source.choice([BEST[number - 1], "U", "U U' " + BEST[number - 1]])
                    if number == 1 and source.random() < 0.5:
                        written = WITHOUT_BASE_TURN
                    given.a_plan(who, one, number, written, at=one.opens_at)
    plans = list(Plan.objects.all())
    scrambles = list(Scramble.objects.select_related("scramble_set"))
    stands: dict[tuple[str, int], bool] = {}
    for step in range(14):
        entries = [one for one in Correction.objects.all() if not hasattr(one, "undone_by")]
        try:
            if entries and source.random() < 0.5:
                entry = source.choice(entries)
                corrections.undo(correction=entry, by=coach, reason=f"{step}")
                thing = entry.plan_id or entry.scramble_id or entry.scramble_set_id
                now_stands = entry.undoes_id is not None and not _stands_without(entry)
                stands[entry.kind, thing] = now_stands
                continue
            kind = source.choice(["plan_withdrawn", "scramble_void", "set_out"])
            if kind == "plan_withdrawn":
                thing = source.choice(plans)
                corrections.withdraw_plan(plan=thing, by=coach, reason=f"{step}")
            elif kind == "scramble_void":
                thing = source.choice(scrambles)
                corrections.void_scramble(scramble=thing, by=coach, reason=f"{step}")
            else:
                thing = source.choice(sets)
                corrections.take_set_out(scramble_set=thing, by=coach, reason=f"{step}")
            stands[kind, thing.pk] = True
        except NoLongerPossible:
            continue
    out = {pk for (kind, pk), on in stands.items() if on and kind == "set_out"}
    void = {pk for (kind, pk), on in stands.items() if on and kind == "scramble_void"}
    withdrawn = {pk for (kind, pk), on in stands.items() if on and kind == "plan_withdrawn"}
    after = NOON
    all_time = {row.member: row for row in tables.all_time_table(coach, after).rows}
    counting = [one for one in sets if one.pk not in out]
    for who in people:
        by_set = []
        for one in counting:
            of_set = [s for s in scrambles if s.scramble_set_id == one.pk and s.pk not in void]
            found = {plan.scramble_id: plan for plan in plans if plan.membership_id == who.pk}
            by_set.append(sum(marked(found.get(s.pk), withdrawn) for s in of_set))
            table = tables.set_table(coach, one.pk, after)
            row = next((row for row in table.rows if row.member == who.display_name), None)
            assert (row.score.points if row else 0) == by_set[-1]
        if counting and any(s.pk not in void for s in scrambles if s.scramble_set_id not in out):
            mean = Fraction(sum(by_set), len(counting))
            assert all_time[who.display_name].mean == mean
        reviewed = visibility.reviewed_sets(coach, begins - HOUR, after)
        assert accounts_of([who], reviewed)[who.pk].total == sum(by_set)
    assert summaries.differences() == []
    still = [p for p in plans if p.pk not in withdrawn and p.scramble_id not in void]
    compare_practice([p for p in still if p.scramble.scramble_set_id not in out])
    run = verifying.begin_again()
    while verifying.work(run=run, check=tasks.checker, make=tasks.outlook_maker):
        pass
    assert not run.differences.exists()


def _stands_without(entry: Correction) -> bool:
    """Whether what an undoing undid was itself an undoing: an even chain."""
    root, depth = entry, 0
    while root.undoes is not None:
        root, depth = root.undoes, depth + 1
    return depth % 2 == 0


def test_verify_tells_of_a_state_that_no_entry_made_and_puts_it_right(
    given, coach, member, a_set
) -> None:
    plan = Plan.objects.get(membership=member, scramble__number=1)
    corrections.withdraw_plan(plan=plan, by=coach, reason="x")
    Plan.objects.filter(pk=plan.pk).update(status=PlanStatus.CHECKED)
    Scramble.objects.filter(scramble_set=a_set, number=3).update(void=True)
    ScrambleSet.objects.filter(pk=a_set.pk).update(taken_out=True)
    assert len(correction_states.differences_of_set(a_set.pk)) == 3

    run = verifying.begin_again()
    while verifying.work(run=run, check=tasks.checker, make=tasks.outlook_maker):
        pass
    assert run.differences.filter(kind=Derived.CORRECTION).count() == 3
    verifying.repair(run=run, check=tasks.checker, make=tasks.outlook_maker)
    assert correction_states.differences_of_set(a_set.pk) == []
    assert summaries.differences() == []
    assert points(coach, a_set) == 24
