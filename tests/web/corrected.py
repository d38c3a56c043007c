"""Results that a coach corrected, of each kind, for pages that tell of them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from solverworker import tasks
from tests.conftest import NOON, Given
from training.models import Kind, Plan, ScrambleSet
from training.rules import Timing
from training.services import corrections


def correct_results(given: Given, there: Any) -> tuple[Plan, ...]:
    """An entry of each kind, and one of each that was taken back.

    Gives a plan that another hold would make solve, one accepted with its rotation, one that
    counts 8 for its time and one whose time is excused.
    """
    held = given.a_plan(there.second, there.today, 1, "U' L'")
    accepted = given.a_plan(there.newcomer, there.today, 1, "U' L'")
    noon = {"by": there.coach, "now": NOON}
    corrections.accept_rotation(plan=accepted, reason="HELD WRONG", **noon)
    assert tasks.check_plan.run(accepted.pk)
    again = given.a_plan(there.newcomer, there.today, 2, "R")
    entries = [corrections.withdraw_plan(plan=again, reason="MIX-UP", **noon)]
    entries.append(corrections.accept_rotation(plan=held, reason="HELD WRONG", **noon))
    fourth = given.scramble(there.today, 4)
    entries.append(corrections.void_scramble(scramble=fourth, reason="TORN", **noon))
    entries.append(corrections.put_spare(scramble=fourth, reason="TORN", **noon))
    until = there.today.closes_at + timedelta(hours=1)
    entries.append(
        corrections.keep_open(scramble_set=there.today, until=until, reason="FOG", **noon)
    )
    entries.append(corrections.take_set_out(scramble_set=there.today, reason="POWER CUT", **noon))
    undone = [
        corrections.undo(correction=one, reason="NOT SO", **noon) for one in reversed(entries)
    ]
    # The void scramble, its spare and the longer hours stand again.
    for one in reversed(undone[1:4]):
        corrections.undo(correction=one, reason="YET SO", **noon)
    assert tasks.check_plan.run(held.pk)
    for plan in (held, accepted):
        plan.refresh_from_db()
    fifth = given.scramble(there.old, 5)
    corrections.void_scramble(scramble=fifth, reason="TORN", **noon)
    homework = ScrambleSet.objects.get(kind=Kind.HOMEWORK, day=date(2026, 11, 20))
    corrections.take_set_out(scramble_set=homework, reason="POWER CUT", **noon)
    return held, accepted, *_times(given, there)


def _times(given: Given, there: Any) -> tuple[Plan, Plan]:
    """Two plans without a time in a set that is timed only: charged for it, and excused."""
    opens = NOON - timedelta(days=2, hours=12)
    until = opens + timedelta(hours=2)
    timed = given.a_set(opens, until, ("R D", "R D"), kind=Kind.CLUB_NIGHT, timing=Timing.TIMED)
    charged = given.a_plan(there.second, timed, 1, "D' R'", at=opens)
    excused = given.a_plan(there.second, timed, 2, "D' R'", at=opens)
    by = {"by": there.coach, "now": NOON}
    entry = corrections.excuse_time(plan=excused, reason="BAD LINE", **by)
    back = corrections.undo(correction=entry, reason="NOT SO", **by)
    corrections.undo(correction=back, reason="YET SO", **by)
    for plan in (charged, excused):
        plan.refresh_from_db()
    return charged, excused
