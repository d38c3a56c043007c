"""What stands on the way to a plan, and what a set that is timed only charges.

Limits of inspection: WCA Regulations, January 1, 2024, A3a1, A3b and A4d.
"""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta

import pytest

from tests.conftest import NOON, Given
from training.account import Missing
from training.entry import Choice, Entry
from training.inspecting import inspected_of
from training.models import (
    CubeNote,
    Draft,
    Inspection,
    Inspects,
    Membership,
    Plan,
    Scramble,
    ScrambleSet,
    ScrambleSummary,
    SetSummary,
)
from training.refusals import InvalidEntry, PlanIsFinal, SetClosed
from training.rules import Held, Timing
from training.selectors.accounts import accounts_of
from training.selectors.attempts import inspection_for, on_the_way
from training.selectors.health import Agreement, agreement
from training.selectors.inspection_times import inspection_times
from training.selectors.tables import all_time_table, set_table
from training.selectors.timed_plans import timed_plans
from training.services import attempts, summaries
from training.services.corrections import undo, withdraw_plan
from training.services.plans import hand_in

pytestmark = pytest.mark.django_db

SECOND = timedelta(seconds=1)


def scramble_of(a_set: ScrambleSet, number: int = 1) -> Scramble:
    return a_set.scrambles.select_related("scramble_set__club").get(number=number)


def inspect(
    who: Membership,
    scramble: Scramble,
    seconds: float | None,
    *,
    chosen: Inspects = Inspects.TIMED,
    trips: tuple[int | None, int | None] = (40, 60),
    looked: bool = False,
    at: datetime = NOON,
) -> None:
    """Inspect for some seconds; None: without an end."""
    of = {"membership": who, "scramble": scramble}
    attempts.begin_inspection(**of, chosen=chosen, now=at)
    if looked:
        attempts.look_again(**of, now=at + SECOND)
    if seconds is not None:
        attempts.end_inspection(**of, begun_trip=trips[0], now=at + seconds * SECOND)
        if trips[1] is not None:
            attempts.note_trip_of_end(**of, trip=trips[1])


def planned(who: Membership, a_set: ScrambleSet, number: int = 1, plan: str = "D' R'") -> Plan:
    """Hand in after whatever inspection there is, and have it checked."""
    from solverworker import tasks

    scramble = scramble_of(a_set, number)
    found = hand_in(
        membership=who,
        scramble=scramble,
        entry=Entry(plan),
        key=uuid.uuid4(),
        inspection=inspection_for(who.pk, scramble.pk),
        now=NOON + 60 * SECOND,
    ).plan
    assert tasks.check_plan.run(found.pk)
    found.refresh_from_db()
    return found


FOUR_ALIKE = ("R D",) * 4
"""Four scrambles with one solution."""


class TestInspection:
    def test_the_first_beginning_and_the_first_end_count(self, given: Given, member) -> None:
        scramble = scramble_of(given.a_set())
        inspect(member, scramble, 9)
        inspect(member, scramble, 200, at=NOON + 5 * SECOND)
        told = inspected_of(Inspection.objects.get())
        assert (told.taken, told.shorter, told.longer) == (9000, 60, 40)

    def test_a_trip_of_the_beginning_may_be_told_after_the_end(self, given: Given, member) -> None:
        scramble = scramble_of(given.a_set())
        inspect(member, scramble, 9, trips=(None, 60))
        assert not inspected_of(Inspection.objects.get()).timed
        for trip in (700, 1):  # what was told first stands
            attempts.note_trip_of_beginning(membership=member, scramble=scramble, trip=trip)
        told = inspected_of(Inspection.objects.get())
        assert (told.taken, told.longer) == (9000, 700)

    def test_the_choice_is_remembered_where_the_set_leaves_it(self, given: Given, member) -> None:
        timed_only = scramble_of(given.a_set(timing=Timing.TIMED, kind="club_night"))
        attempts.begin_inspection(
            membership=member, scramble=timed_only, chosen=Inspects.OWN, now=NOON
        )
        assert Inspection.objects.get().chosen == Inspects.TIMED
        member.refresh_from_db()
        assert member.inspects == Inspects.OWN
        inspect(member, scramble_of(given.a_set()), 3)
        member.refresh_from_db()
        assert member.inspects == Inspects.TIMED

    def test_nothing_changes_once_the_plan_is_in(self, given: Given, member) -> None:
        a_set = given.a_set()
        scramble = scramble_of(a_set)
        inspect(member, scramble, 9)
        planned(member, a_set)
        attempts.look_again(membership=member, scramble=scramble, now=NOON + 99 * SECOND)
        assert not inspected_of(Inspection.objects.get()).second_look

    def test_a_closed_set_is_not_inspected(self, given: Given, member) -> None:
        scramble = scramble_of(given.a_set(opens=NOON - 9 * SECOND, closes=NOON))
        with pytest.raises(SetClosed):
            inspect(member, scramble, 9)
        assert not Inspection.objects.exists()

    def test_a_cube_that_differs_is_told_once(self, given: Given, member) -> None:
        scramble = scramble_of(given.a_set())
        for _ in range(2):
            attempts.tell_that_cube_differs(membership=member, scramble=scramble, now=NOON)
        assert CubeNote.objects.count() == 1


class TestTimedOnly:
    @pytest.mark.parametrize(
        ("how", "out"),
        [
            ({"seconds": 14}, False),
            ({"seconds": 16.5}, False),  # A4d: over costs 2 s there, nothing here
            ({"seconds": 17.05}, False),  # the line may have taken 0.06 s of it
            ({"seconds": 17.1}, True),
            ({"seconds": None}, True),
            ({"seconds": 5, "looked": True}, True),
            ({"seconds": 5, "trips": (None, 20)}, True),
            ({"seconds": 5, "trips": (20, None)}, False),
        ],
    )
    def test_what_counts_eight(self, given: Given, member, how, out) -> None:
        a_set = given.a_set(timing=Timing.TIMED)
        inspect(member, scramble_of(a_set), **how)
        plan = planned(member, a_set)
        assert plan.out_of_time is out
        table = set_table(member, a_set.pk, a_set.closes_at + SECOND)
        line = next(one for one in table.rows if one.own)
        assert line.cells[0].points == (8 if out else 0)
        assert line.cells[0].state == ("out_of_time" if out else "solved")

    def test_a_plan_by_a_program_has_no_time(self, given: Given, member) -> None:
        a_set = given.a_set(timing=Timing.TIMED)
        scramble = scramble_of(a_set)
        inspect(member, scramble, 5)
        found = hand_in(
            membership=member, scramble=scramble, entry=Entry("D"), key=uuid.uuid4(), now=NOON
        )
        assert found.plan.out_of_time

    @pytest.mark.parametrize("timing", [Timing.EITHER, Timing.UNTIMED])
    def test_no_other_set_charges_for_time(self, given: Given, member, timing) -> None:
        a_set = given.a_set(timing=timing)
        inspect(member, scramble_of(a_set), 40, looked=True)
        assert not planned(member, a_set).out_of_time

    def test_tables_summaries_and_account_charge_the_same(
        self, given: Given, member, coach
    ) -> None:
        a_set = given.a_set(
            timing=Timing.TIMED,
            scrambles=FOUR_ALIKE[:3],
            opens=NOON - 9 * SECOND,
            closes=NOON + 3600 * SECOND,
        )
        for number, seconds in ((1, 5), (2, 30), (3, None)):
            inspect(member, scramble_of(a_set, number), seconds)
            planned(member, a_set, number)
        later = a_set.closes_at + SECOND
        by_plans = next(one for one in set_table(member, a_set.pk, later).rows if one.own)
        by_sums = next(one for one in all_time_table(member, later).rows if one.own)
        account = accounts_of([member], [a_set])[member.pk]
        assert by_plans.score.points == by_sums.score.points == account.total
        assert account.points[Missing.OUT_OF_TIME] == 16
        summary = SetSummary.objects.get(membership=member)
        assert (summary.plans, summary.solved) == (3, 1)
        # By cross as by member: out of time nothing is exact, however well it solves.
        by_cross = ScrambleSummary.objects.order_by("scramble__number")
        assert list(by_cross.values_list("plans", "exact")) == [(1, 1), (1, 0), (1, 0)]
        assert agreement(member.club, later) == Agreement(3, True)
        assert summaries.differences() == []
        # A correction works as ever: withdrawn it counts 8 once, and taken back as before.
        plan = Plan.objects.get(membership=member, scramble__number=2)
        entry = withdraw_plan(plan=plan, by=coach, reason="another cube", now=later)
        assert accounts_of([member], [a_set])[member.pk].total == account.total
        undo(correction=entry, by=coach, reason="it was not", now=later)
        assert accounts_of([member], [a_set])[member.pk].points == account.points
        assert summaries.differences() == []


class TestTimedPlansAlone:
    def test_the_list_has_who_is_in_time_and_charges_nobody(
        self, given: Given, member, second
    ) -> None:
        a_set = given.a_set(scrambles=FOUR_ALIKE)
        inspect(member, scramble_of(a_set, 1), 12)
        inspect(member, scramble_of(a_set, 2), 16)
        inspect(member, scramble_of(a_set, 3), 20)
        inspect(member, scramble_of(a_set, 4), 4, looked=True)
        inspect(second, scramble_of(a_set, 1), 9, chosen=Inspects.OWN)
        for number in range(1, 5):
            planned(member, a_set, number)
        planned(second, a_set, 1)
        later = a_set.closes_at + SECOND
        table = set_table(member, a_set.pk, later)
        (line,) = timed_plans(table)
        assert (line.own, line.score.crosses, line.mean, line.over) == (True, 2, 14_000, 1)
        assert next(one for one in table.rows if one.own).score.crosses == 4

    def test_progress_has_time_beside_excess(self, given: Given, member) -> None:
        a_set = given.a_set(scrambles=FOUR_ALIKE)
        inspect(member, scramble_of(a_set, 1), 12)
        inspect(member, scramble_of(a_set, 2), 19)
        planned(member, a_set, 1)
        planned(member, a_set, 2, "D D D R'")
        found = inspection_times(member, member, a_set.closes_at + SECOND)
        assert (found.in_time.plans, found.mean, found.late) == (1, 12_000, 1)
        assert [one.excess for one in found.latest] == [2, 0]


class TestDrafts:
    def test_a_draft_is_kept_as_it_stands_and_goes_with_the_plan(
        self, given: Given, member
    ) -> None:
        a_set = given.a_set()
        scramble, key = scramble_of(a_set), uuid.uuid4()
        entry = Entry("D' Q", Choice.MOVES, pair="U R")
        attempts.keep_draft(membership=member, scramble=scramble, entry=entry, key=key, now=NOON)
        on = on_the_way(member, a_set.pk, 1)
        assert on.entry == entry
        assert on.draft is not None
        assert on.draft.key == key
        attempts.drop_draft(membership=member, scramble=scramble)
        assert not Draft.objects.exists()

    def test_what_no_database_keeps_is_left_out_of_a_draft(self, given: Given, member) -> None:
        scramble = scramble_of(given.a_set())
        attempts.keep_draft(
            membership=member, scramble=scramble, entry=Entry("D\x00 R"), key=uuid.uuid4(), now=NOON
        )
        assert Draft.objects.get().written == "D R"

    def test_old_drafts_are_forgotten(self, given: Given, member, second) -> None:
        a_set = given.a_set()
        for who in (member, second):
            attempts.keep_draft(
                membership=who,
                scramble=scramble_of(a_set),
                entry=Entry("D"),
                key=uuid.uuid4(),
                now=NOON,
            )
        planned(member, a_set)
        attempts.purge(now=NOON + 90 * SECOND)
        assert Draft.objects.get().membership == second
        attempts.purge(now=a_set.closes_at + timedelta(days=31))
        assert not Draft.objects.exists()


class TestHold:
    def test_two_colours_stand_for_the_rotation(self, given: Given, member) -> None:
        a_set = given.a_set(held=Held.FREE)
        key = uuid.uuid4()
        entry = Entry("U' L'", held="yellow green")
        of = {"membership": member, "scramble": scramble_of(a_set), "key": key, "now": NOON}
        plan = hand_in(**of, entry=entry).plan
        assert (plan.written, plan.held, plan.canonical) == ("U' L'", "yellow green", "z2 U' L'")
        # The same key with the same plan in the same hold is the same; in another it is not.
        assert not hand_in(**of, entry=entry).is_new
        with pytest.raises(PlanIsFinal):
            hand_in(**of | {"key": uuid.uuid4()}, entry=Entry("U' L'", held="white green"))

    @pytest.mark.parametrize("held", ["yellow white", "yellow", "pink green", "green  red", "x"])
    def test_a_hold_that_no_cube_has_is_refused(self, given: Given, member, held) -> None:
        a_set = given.a_set(held=Held.FREE)
        with pytest.raises(InvalidEntry) as refused:
            hand_in(
                membership=member,
                scramble=scramble_of(a_set),
                entry=Entry("D", held=held),
                key=uuid.uuid4(),
                now=NOON,
            )
        assert refused.value.field == "held"

    def test_where_the_plan_says_it_two_colours_are_refused(self, given: Given, member) -> None:
        with pytest.raises(InvalidEntry):
            hand_in(
                membership=member,
                scramble=scramble_of(given.a_set()),
                entry=Entry("D", held="yellow green"),
                key=uuid.uuid4(),
                now=NOON,
            )
