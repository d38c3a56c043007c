"""Corrections of results: entries with undo; all totals follow at once and can be recomputed.

The rules are the club's own (nothing is rewritten, a coach corrects no table of their own);
common practice of results services, no published source.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest
from django.db import IntegrityError, transaction

from solverworker import tasks
from solverworker.cube.holds import walk
from solverworker.cube.notation import parse
from tests.conftest import NOON, Given, make_membership
from training import visibility
from training.entry import Entry
from training.models import (
    Corrected,
    Correction,
    Membership,
    Plan,
    PlanStatus,
    Role,
    ScrambleSet,
    ScrambleSummary,
    SetSummary,
)
from training.refusals import InvalidEntry, NoLongerPossible, NotAllowed
from training.selectors import tables
from training.selectors.accounts import accounts_of
from training.selectors.coach import moves_lost
from training.selectors.corrections import correction_log, newest_of_plan, notes_of
from training.selectors.plans import State, set_for
from training.selectors.reviews import member_review
from training.services import clubs, corrections, summaries
from training.services.plans import hand_in

pytestmark = pytest.mark.django_db

HOUR = timedelta(hours=1)
BEST = ("D' R'", "R' D'", "F' R'", "R' F'", "B' R'")


def points(viewer: Membership, a_set: ScrambleSet, name: str = "Ines") -> int:
    table = tables.set_table(viewer, a_set.pk, a_set.closes_at)
    return next(row.score.points for row in table.rows if row.member == name)


@pytest.fixture
def a_set(given: Given, member: Membership, second: Membership) -> ScrambleSet:
    """A set in which Ines lost 1, solved nothing of the second, and left out the last."""
    a_set = given.a_set()
    for number, plan in enumerate(("D D2 R'", "U", *BEST[2:4]), start=1):
        given.a_plan(member, a_set, number, plan)
    for number, plan in enumerate(BEST, start=1):
        given.a_plan(second, a_set, number, plan)
    return a_set


def test_a_plan_is_withdrawn_restored_and_withdrawn_again(given, coach, member, a_set) -> None:
    plan = Plan.objects.get(membership=member, scramble__number=1)
    assert points(coach, a_set) == 1 + 8 + 8
    first = corrections.withdraw_plan(plan=plan, by=coach, reason="wrong cube", now=NOON)
    assert (first.before["status"], first.after["status"]) == ("checked", "withdrawn")
    assert points(coach, a_set) == 8 + 8 + 8
    back = corrections.undo(correction=first, by=coach, reason="it was the right one")
    assert points(coach, a_set) == 1 + 8 + 8
    again = corrections.undo(correction=back, by=coach, reason="no, it was not")
    assert points(coach, a_set) == 8 + 8 + 8
    marks = Correction.objects.order_by("pk").values_list("pk", "in_force", "undoes")
    assert list(marks) == [
        *((first.pk, True, None), (back.pk, False, first.pk), (again.pk, True, back.pk))
    ]
    for taken in (first, back):
        with pytest.raises(NoLongerPossible, match="taken back already"):
            corrections.undo(correction=taken, by=coach, reason="x")
    with pytest.raises(NoLongerPossible, match="withdrawn already"):
        corrections.withdraw_plan(plan=plan, by=coach, reason="x")
    plan.refresh_from_db()
    assert newest_of_plan(plan, Corrected.PLAN_WITHDRAWN) == again
    assert Correction.objects.count() == 3
    assert summaries.differences() == []


def test_undoing_what_another_entry_rests_on_is_refused_and_names_it(coach, member, a_set) -> None:
    plan = Plan.objects.get(membership=member, scramble__number=1)
    first = corrections.withdraw_plan(plan=plan, by=coach, reason="wrong cube")
    back = corrections.undo(correction=first, by=coach, reason="mix-up")
    anew = corrections.withdraw_plan(plan=plan, by=coach, reason="typed by a friend")
    with pytest.raises(NoLongerPossible, match=f"Entry {anew.pk} rests on this one"):
        corrections.undo(correction=back, by=coach, reason="x")
    corrections.undo(correction=anew, by=coach, reason="no")
    corrections.undo(correction=back, by=coach, reason="yes")
    assert points(coach, a_set) == 24


def test_a_scramble_counts_for_nobody(given, coach, member, second, a_set) -> None:
    first_day = visibility.reviewed_sets(coach, NOON - 9 * HOUR, a_set.closes_at)
    scramble = given.scramble(a_set, 2)
    entry = corrections.void_scramble(scramble=scramble, by=coach, reason="misprinted", now=NOON)
    table = tables.set_table(member, a_set.pk, a_set.closes_at)
    (row,) = (row for row in table.rows if row.own)
    assert (row.score.points, row.score.crosses) == (1 + 8, 4)
    assert [cell.state for cell in row.cells] == ["solved", "void", "solved", "solved", "missing"]
    (note,) = table.corrections
    assert (note.kind, note.number, note.reason) == ("scramble_void", 2, "misprinted")
    account = accounts_of([member], first_day)[member.pk]
    assert (account.total, account.plans) == (9, 4)
    review = member_review(member, a_set.closes_at, viewer=coach)
    assert (review.plans, review.lost) == (3, 1)
    assert not ScrambleSummary.objects.filter(scramble=scramble)
    assert tables.all_time_table(coach, a_set.closes_at).rows[1].mean == Fraction(9)
    view = set_for(member, a_set.pk, NOON)
    assert [one.state for one in view.scrambles][1] == State.VOID
    assert summaries.differences() == []
    corrections.undo(correction=entry, by=coach, reason="it was right")
    assert points(coach, a_set) == 17
    assert summaries.differences() == []


def test_nothing_is_handed_in_for_a_void_scramble_and_nobody_waits_for_it(
    given, coach, member
) -> None:
    a_set = given.a_set()
    for number in (1, 2, 3, 4):
        given.a_plan(member, a_set, number, BEST[number - 1])
    assert not set_for(member, a_set.pk, NOON).table_open
    corrections.void_scramble(scramble=given.scramble(a_set, 5), by=coach, reason="torn", now=NOON)
    # All that count are in: the table opens.
    assert set_for(member, a_set.pk, NOON).table_open
    with pytest.raises(NoLongerPossible, match="Scramble 5 does not count any more"):
        given.a_plan(member, a_set, 5, BEST[4])
    assert points(coach, a_set) == 0


def test_a_plan_that_is_checked_after_its_scramble_was_taken_out_is_in_no_sum(
    given, coach, member
) -> None:
    a_set = given.a_set()
    plan = given.a_plan(member, a_set, 1, "U", checked=False)
    corrections.void_scramble(scramble=given.scramble(a_set, 1), by=coach, reason="torn", now=NOON)
    assert tasks.check_plan.run(plan.pk)
    assert not SetSummary.objects.exists()
    assert not ScrambleSummary.objects.exists()
    assert summaries.differences() == []


def test_a_set_taken_out_is_in_no_total_and_its_note_stands(given, coach, member, a_set) -> None:
    entry = corrections.take_set_out(scramble_set=a_set, by=coach, reason="power cut", now=NOON)
    day = date(2026, 11, 25)
    table = tables.week_table(member, day, a_set.closes_at)
    assert (table.sets, table.rows) == ((), ())
    assert [(one.kind, one.reason) for one in table.corrections] == [("set_out", "power cut")]
    assert tables.all_time_table(coach, a_set.closes_at).rows == ()
    assert {one.lost for one in moves_lost(coach.club, NOON - 20 * HOUR, a_set.closes_at)} == {0}
    assert not visibility.reviewed_sets(coach, NOON - 9 * HOUR, a_set.closes_at).exists()
    assert not SetSummary.objects.counting().exists()
    assert summaries.differences() == []
    corrections.undo(correction=entry, by=coach, reason="it was on again")
    assert points(coach, a_set) == 17
    assert SetSummary.objects.counting().count() == 2


def test_a_forgotten_rotation_is_accepted_and_the_plan_checked_with_it(
    given, coach, member
) -> None:
    a_set = given.a_set()
    # "D' R'" solves; the same in a cube held with another face on top is written otherwise.
    written = "U' L'"
    plan = given.a_plan(member, a_set, 1, written)
    assert not plan.verdict.solved
    entry = corrections.accept_rotation(plan=plan, by=coach, reason="z2 forgotten", now=NOON)
    plan.refresh_from_db()
    assert (plan.status, plan.written) == (PlanStatus.WAITING, written)
    assert tasks.check_plan.run(plan.pk)
    plan.refresh_from_db()
    rotations = plan.canonical.removesuffix(written).split()
    assert all(not token.moves for token in parse(" ".join(rotations)))
    assert walk(parse("R D " + plan.canonical)).turns == walk(parse("R D D' R'")).turns
    assert (plan.verdict.solved, plan.verdict.excess) == (True, 0)
    assert points(coach, a_set) == 32
    with pytest.raises(NoLongerPossible, match="No rotation before this plan"):
        corrections.accept_rotation(plan=plan, by=coach, reason="x")
    corrections.undo(correction=entry, by=coach, reason="it was no slip")
    assert tasks.check_plan.run(plan.pk)
    plan.refresh_from_db()
    assert (plan.canonical, plan.verdict.solved) == (written, False)
    assert points(coach, a_set) == 40
    assert summaries.differences() == []


def test_no_other_plan_is_accepted_with_a_rotation(given, coach, member) -> None:
    a_set = given.a_set()
    for number, plan in enumerate(("D' R'", "U", None), start=1):
        handed = given.a_plan(member, a_set, number, plan)
        with pytest.raises(NoLongerPossible, match="No rotation"):
            corrections.accept_rotation(plan=handed, by=coach, reason="x")


def test_a_plan_withdrawn_before_it_was_checked_is_checked_when_restored(
    given, coach, member
) -> None:
    a_set = given.a_set()
    plan = given.a_plan(member, a_set, 1, "D' R'", checked=False)
    entry = corrections.withdraw_plan(plan=plan, by=coach, reason="mix-up")
    assert not tasks.check_plan.run(plan.pk)
    corrections.undo(correction=entry, by=coach, reason="none")
    plan.refresh_from_db()
    assert plan.status == PlanStatus.WAITING
    assert tasks.check_plan.run(plan.pk)
    assert points(coach, a_set) == 32


# Who may ---------------------------------------------------------------------------------


def test_no_coach_corrects_a_table_of_their_own_while_another_could(
    given, club, coach, member, a_set
) -> None:
    rival = make_membership(club, "Rune", Role.COACH, competes=True)
    plan = Plan.objects.get(membership=member, scramble__number=1)
    with pytest.raises(NotAllowed, match="You are in this table yourself"):
        corrections.withdraw_plan(plan=plan, by=rival, reason="x")
    entry = corrections.withdraw_plan(plan=plan, by=coach, reason="x")
    assert not entry.own_table
    with pytest.raises(NotAllowed):
        corrections.undo(correction=entry, by=rival, reason="x")
    # With no other coach the rival may, and the note says so.
    Membership.objects.filter(pk=coach.pk).update(role=Role.MEMBER)
    undone = corrections.undo(correction=entry, by=rival, reason="x")
    assert undone.own_table
    void = corrections.void_scramble(scramble=given.scramble(a_set), by=rival, reason="torn")
    assert void.own_table
    assert [one.own_table for one in notes_of([a_set.pk])] == [True]


def test_of_two_coaches_who_compete_either_may(given, club, member, a_set) -> None:
    for name in ("Rune", "Siv"):
        rival = make_membership(club, name, Role.COACH, competes=True)
    assert corrections.void_scramble(scramble=given.scramble(a_set), by=rival, reason="torn")


def test_only_coaches_of_the_club_correct_and_never_without_a_reason(
    given, member, outsider, coach, a_set
) -> None:
    plan = Plan.objects.get(membership=member, scramble__number=1)
    for stranger in (member, outsider):
        with pytest.raises(NotAllowed):
            corrections.take_set_out(scramble_set=a_set, by=stranger, reason="x")
    with pytest.raises(InvalidEntry, match="Say why"):
        corrections.withdraw_plan(plan=plan, by=coach, reason="  ")
    sealed = given.a_set(opens=NOON + HOUR, closes=NOON + 2 * HOUR, kind="homework")
    with pytest.raises(NoLongerPossible, match="has opened"):
        corrections.take_set_out(scramble_set=sealed, by=coach, reason="x", now=NOON)
    assert not Correction.objects.exists()


def test_the_database_keeps_one_entry_standing_for_one_thing(coach, member, a_set) -> None:
    plan = Plan.objects.get(membership=member, scramble__number=1)
    entry = corrections.withdraw_plan(plan=plan, by=coach, reason="x")
    with pytest.raises(IntegrityError), transaction.atomic():
        Correction.objects.create(
            club=coach.club, kind=entry.kind, scramble_set=a_set, scramble=plan.scramble, plan=plan
        )
    with pytest.raises(IntegrityError), transaction.atomic():
        Correction.objects.create(club=coach.club, kind="set_out", scramble_set=a_set, plan=plan)


def test_the_log_tells_a_coach_in_sealed_mode_nothing_of_a_plan(
    given, club, coach, member, a_set
) -> None:
    rival = make_membership(club, "Rune", Role.COACH, competes=True)
    plan = Plan.objects.get(membership=member, scramble__number=1)
    corrections.withdraw_plan(plan=plan, by=coach, reason="x", now=NOON)
    (seen,) = correction_log(coach, NOON).entries
    assert (seen.before["excess"], seen.member, seen.by) == (1, "Ines", "Kari")
    (seen,) = correction_log(rival, NOON).entries
    assert (seen.before, seen.after) == (None, None)
    with pytest.raises(visibility.Sealed):
        correction_log(member, NOON)


# Days off ----------------------------------------------------------------------------------


def test_a_day_off_asks_what_becomes_of_an_open_set(given, coach, member) -> None:
    a_set = given.a_set()
    with pytest.raises(InvalidEntry, match="taken out for everybody or runs on") as asked:
        clubs.add_day_off(by=coach, day=a_set.day, now=NOON)
    assert asked.value.field == "open_set"
    clubs.add_day_off(by=coach, day=a_set.day, take_out=False, now=NOON)
    a_set.refresh_from_db()
    assert not a_set.taken_out
    clubs.add_day_off(by=coach, day=a_set.day, reason="snow", take_out=True, now=NOON)
    a_set.refresh_from_db()
    assert a_set.taken_out
    assert Correction.objects.get().reason == "snow"


def test_a_day_off_is_not_noted_for_a_day_that_is_over(given, coach) -> None:
    yesterday = given.a_set(opens=NOON - 37 * HOUR, closes=NOON - 13 * HOUR)
    for day in (yesterday.day, date(2026, 11, 2)):
        with pytest.raises(InvalidEntry, match="That day is over"):
            clubs.add_day_off(by=coach, day=day, now=NOON)


def test_handing_in_again_for_a_restored_plan_gives_the_first_answer(given, coach, member) -> None:
    a_set = given.a_set()
    plan = given.a_plan(member, a_set, 1, "D' R'")
    entry = corrections.withdraw_plan(plan=plan, by=coach, reason="x")
    corrections.undo(correction=entry, by=coach, reason="x")
    again = hand_in(
        membership=member,
        scramble=given.scramble(a_set),
        entry=Entry("D' R'"),
        key=plan.key,
        now=NOON,
    )
    assert not again.is_new
