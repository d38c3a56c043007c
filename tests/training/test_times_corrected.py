"""Sets that are timed only: what is charged stays what the rule says, whatever is corrected.

Limits of inspection: WCA Regulations, January 1, 2024, A3a1, A3b and A4d. That a coach may excuse
a time is the product's own rule.
"""

from __future__ import annotations

import importlib
import random
from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection

from solverworker import tasks
from solverworker.review import check_plan
from tests.conftest import NOON, Given, make_membership
from tests.training.test_attempts import SECOND, inspect, planned, scramble_of
from training.account import Missing
from training.models import Correction, Derived, Membership, Plan, PlanStatus, ScrambleSet
from training.refusals import InvalidEntry, NoLongerPossible, NotAllowed
from training.rules import Timing
from training.selectors.accounts import accounts_of
from training.selectors.corrections import correction_log, notes_of
from training.selectors.tables import all_time_table, set_table
from training.services import corrections, summaries, verifying
from training.services.questions import answer, ask

pytestmark = pytest.mark.django_db

LATE = 30
DAY = timedelta(days=1)


@pytest.fixture
def timed(given: Given) -> ScrambleSet:
    return given.a_set(timing=Timing.TIMED, scrambles=("R D", "R D", "R D"))


@pytest.fixture
def late(timed: ScrambleSet, member: Membership) -> Plan:
    """A plan that is exactly the best, and late."""
    inspect(member, scramble_of(timed), LATE)
    return planned(member, timed)


def differences() -> list[str]:
    """What a whole run of verify finds, by kind."""
    run = verifying.begin_again()
    while verifying.work(run=run, check=tasks.checker, make=tasks.outlook_maker):
        pass
    return sorted(run.differences.values_list("kind", flat=True))


def put_right() -> None:
    run = verifying.newest()
    assert run is not None
    verifying.repair(run=run, check=tasks.checker, make=tasks.outlook_maker)


def points(who: Membership, a_set: ScrambleSet, number: int = 1) -> tuple[int | None, str]:
    """What a cell of the table counts once the set has closed, and its state."""
    table = set_table(who, a_set.pk, a_set.closes_at + SECOND)
    cell = next(one for one in table.rows if one.membership_id == who.pk).cells[number - 1]
    return cell.points, cell.state


class TestVerify:
    def test_a_late_plan_that_is_not_marked_is_found_and_put_right(
        self, late: Plan, member, timed
    ) -> None:
        assert differences() == []
        Plan.objects.filter(pk=late.pk).update(out_of_time=False)
        summaries.renew_sets(set_ids=[timed.pk])  # sums that agree with the wrong mark
        assert differences() == [Derived.TIME]
        put_right()
        assert points(member, timed) == (8, "out_of_time")
        assert differences() == []

    def test_a_plan_in_time_that_is_marked_is_found_and_put_right(self, member, timed) -> None:
        inspect(member, scramble_of(timed), 9)
        plan = planned(member, timed)
        Plan.objects.filter(pk=plan.pk).update(out_of_time=True)
        summaries.renew_sets(set_ids=[timed.pk])
        assert points(member, timed) == (8, "out_of_time")
        assert differences() == [Derived.TIME]
        put_right()
        assert points(member, timed) == (0, "solved")
        assert differences() == []

    def test_a_mark_where_no_time_charges_is_found(self, given: Given, member) -> None:
        a_set = given.a_set(timing=Timing.EITHER)
        inspect(member, scramble_of(a_set), LATE)
        plan = planned(member, a_set)
        Plan.objects.filter(pk=plan.pk).update(out_of_time=True)
        assert Derived.TIME in differences()
        put_right()
        assert points(member, a_set) == (0, "solved")

    def test_an_excused_plan_that_is_marked_is_found(self, late: Plan, member, coach) -> None:
        corrections.excuse_time(plan=late, by=coach, reason="bad line")
        assert differences() == []
        Plan.objects.filter(pk=late.pk).update(out_of_time=True)
        summaries.renew_sets(set_ids=[late.scramble.scramble_set_id])
        assert differences() == [Derived.TIME]
        put_right()
        assert points(member, late.scramble.scramble_set) == (0, "solved")


class TestExcuse:
    def test_it_then_counts_as_its_verdict_says_and_undone_eight_again(
        self, late: Plan, member, coach, timed
    ) -> None:
        later = timed.closes_at + SECOND
        assert points(member, timed) == (8, "out_of_time")
        entry = corrections.excuse_time(plan=late, by=coach, reason="bad line", now=later)
        assert points(member, timed) == (0, "solved")
        assert (entry.before["out_of_time"], entry.after["out_of_time"]) == (True, False)
        assert accounts_of([member], [timed])[member.pk].points.get(Missing.OUT_OF_TIME, 0) == 0
        assert summaries.differences() == []
        back = corrections.undo(correction=entry, by=coach, reason="it was not", now=later)
        assert points(member, timed) == (8, "out_of_time")
        assert accounts_of([member], [timed])[member.pk].points[Missing.OUT_OF_TIME] == 8
        corrections.undo(correction=back, by=coach, reason="it was", now=later)
        assert points(member, timed) == (0, "solved")
        assert summaries.differences() == []
        assert [one.kind for one in correction_log(coach, later).entries] == ["time_excused"] * 3

    def test_a_note_stands_beside_the_table_and_the_reason_is_the_members(
        self, late: Plan, member, second, coach, timed
    ) -> None:
        corrections.excuse_time(plan=late, by=coach, reason="bad line")
        (to_all,) = notes_of([timed.pk])
        assert (to_all.kind, to_all.member, to_all.number) == ("time_excused", "Ines", 1)
        assert to_all.reason == ""
        assert [one.reason for one in notes_of([timed.pk], reader=member)] == ["bad line"]
        assert notes_of([timed.pk], reader=second) == []

    def test_an_unsolved_plan_counts_eight_for_itself(self, member, coach, timed) -> None:
        inspect(member, scramble_of(timed), LATE)
        plan = planned(member, timed, plan="U")
        corrections.excuse_time(plan=plan, by=coach, reason="bad line")
        assert points(member, timed)[0] == 8
        assert differences() == []

    def test_only_a_charged_plan_and_only_once_and_only_by_a_coach_who_says_why(
        self, late: Plan, member, second, coach, timed, given: Given
    ) -> None:
        with pytest.raises(NotAllowed):
            corrections.excuse_time(plan=late, by=member, reason="bad line")
        with pytest.raises(InvalidEntry):
            corrections.excuse_time(plan=late, by=coach, reason=" ")
        inspect(second, scramble_of(timed), 9)
        in_time = planned(second, timed)
        elsewhere = given.a_plan(member, given.a_set(kind="club_night"), 1, "D' R'")
        for one in (in_time, elsewhere):
            with pytest.raises(NoLongerPossible):
                corrections.excuse_time(plan=one, by=coach, reason="bad line")
        assert not Correction.objects.exists()
        corrections.excuse_time(plan=late, by=coach, reason="bad line")
        with pytest.raises(NoLongerPossible):
            corrections.excuse_time(plan=late, by=coach, reason="bad line")

    def test_withdrawn_and_restored_it_keeps_what_its_time_came_to(
        self, late: Plan, member, coach, timed
    ) -> None:
        gone = corrections.withdraw_plan(plan=late, by=coach, reason="another cube")
        assert points(member, timed) == (8, "withdrawn")
        corrections.undo(correction=gone, by=coach, reason="it was not")
        assert points(member, timed) == (8, "out_of_time")
        late.refresh_from_db()
        excused = corrections.excuse_time(plan=late, by=coach, reason="bad line")
        gone = corrections.withdraw_plan(plan=late, by=coach, reason="another cube")
        assert points(member, timed) == (8, "withdrawn")
        corrections.undo(correction=excused, by=coach, reason="it was not")
        assert points(member, timed) == (8, "withdrawn")
        corrections.undo(correction=gone, by=coach, reason="it was not")
        assert points(member, timed) == (8, "out_of_time")
        assert differences() == []

    def test_an_answer_to_a_question_may_carry_it(self, late: Plan, member, coach, timed) -> None:
        asked = ask(by=member, scramble=scramble_of(timed), words="My line was lost.", now=NOON)
        answered = answer(
            question=asked,
            by=coach,
            words="So it was.",
            correction="time_excused",
            reason="bad line",
            now=NOON,
        )
        assert answered.correction is not None
        assert points(member, timed) == (0, "solved")


@pytest.mark.parametrize("seed", range(4))
def test_whatever_is_corrected_is_what_a_plain_count_gives(
    given: Given, club, coach, seed: int
) -> None:
    """Against the rule in one line: 8 if withdrawn, unsolved or out of time and not excused."""
    source = random.Random(seed)
    opens = NOON - 3 * DAY
    sets = [
        given.a_set(NOON, NOON + (n + 1) * DAY, ("R D",) * 3, timing=timing, day=(NOON + n * DAY))
        for n, timing in enumerate((Timing.TIMED, Timing.TIMED, Timing.EITHER))
    ]
    assert opens < NOON
    people = [make_membership(club, name) for name in ("Ada", "Bo")]
    in_time: dict[int, bool] = {}
    for who in people:
        for a_set in sets:
            for number in (1, 2, 3):
                seconds = source.choice([3, 14.9, 16.9, 17.5, 40, None])
                looked = source.random() < 0.2
                inspect(who, scramble_of(a_set, number), seconds, looked=looked)
                plan = planned(
                    who, a_set, number, source.choice(["D' R'", "U D' R'", "D D D R'", "U"])
                )
                in_time[plan.pk] = seconds is not None and seconds < 17 and not looked
    plans = list(Plan.objects.select_related("scramble__scramble_set", "membership"))
    after = max(one.closes_at for one in sets) + SECOND
    for step in range(16):
        entries = [one for one in Correction.objects.all() if not hasattr(one, "undone_by")]
        act = source.choice(["excuse", "withdraw", "undo"])
        try:
            if act == "undo" and entries:
                corrections.undo(
                    correction=source.choice(entries), by=coach, reason=f"{step}", now=after
                )
            elif act == "excuse":
                corrections.excuse_time(
                    plan=source.choice(plans), by=coach, reason=f"{step}", now=after
                )
            else:
                corrections.withdraw_plan(
                    plan=source.choice(plans), by=coach, reason=f"{step}", now=after
                )
        except NoLongerPossible:
            continue
    stands = {
        kind: {one.plan_id for one in Correction.objects.in_effect().filter(kind=kind)}
        for kind in ("time_excused", "plan_withdrawn")
    }
    by_sums = {row.member: row.score.points for row in all_time_table(coach, after).rows}
    for who in people:
        due = 0
        for plan in (one for one in plans if one.membership_id == who.pk):
            a_set = plan.scramble.scramble_set
            report = check_plan(plan.scramble.text, plan.written, colours=["yellow"])
            late = a_set.timing == Timing.TIMED and not in_time[plan.pk]
            charged = late and plan.pk not in stands["time_excused"]
            gone = plan.pk in stands["plan_withdrawn"]
            counts = report.solved and not charged and not gone
            assert report.excess is not None or not report.solved
            worth = min(report.excess or 0, 8) if counts else 8
            assert points_of(who, a_set, plan.scramble.number, after) == worth
            due += worth
        assert by_sums[who.display_name] == due
        assert accounts_of([who], sets)[who.pk].total == due
    assert summaries.differences() == []
    assert differences() == []
    assert not Plan.objects.filter(status=PlanStatus.FAILED).exists()


def points_of(who: Membership, a_set: ScrambleSet, number: int, after) -> int | None:
    table = set_table(who, a_set.pk, after)
    return next(one for one in table.rows if one.own).cells[number - 1].points


def test_who_goes_back_before_excuses_were_known_loses_them_and_nothing_else(
    late: Plan, member: Membership, coach: Membership, timed: ScrambleSet
) -> None:
    entry = corrections.excuse_time(plan=late, by=coach, reason="the line was bad", now=NOON + DAY)
    corrections.undo(correction=entry, by=coach, reason="it was not", now=NOON + DAY)
    corrections.excuse_time(plan=late, by=coach, reason="it was after all", now=NOON + DAY)
    corrections.withdraw_plan(plan=late, by=coach, reason="a slip", now=NOON + DAY)
    back = importlib.import_module("training.migrations.0052_back_without_excuses")
    back.forget_excuses(apps, SimpleNamespace(connection=connection))
    assert list(Correction.objects.values_list("kind", flat=True)) == ["plan_withdrawn"]
