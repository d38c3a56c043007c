"""The claim, the verdict, the sweep: repeated, late and lost messages change nothing."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from solverworker import review, tasks
from solverworker.report import PlanReport
from tests.conftest import NOON, make_membership
from training import refusals
from training.models import MOST_ATTEMPTS, Plan, PlanStatus, Verdict
from training.services import summaries, verdicts
from training.services.corrections import withdraw_plan
from training.services.plans import check_again

pytestmark = pytest.mark.django_db


@pytest.fixture
def rung(monkeypatch) -> list[int]:
    bells: list[int] = []

    def ring(plan_id: int) -> bool:
        bells.append(plan_id)
        return True

    monkeypatch.setattr("training.dispatch.ring", ring)
    return bells


def report(plan: Plan) -> PlanReport:
    return review.check_plan(plan.scramble.text, plan.canonical, colours=["yellow"])


def test_the_task_checks_and_records_with_the_rules_version(given, member) -> None:
    # Scramble R D, plan D D R': one move more than the shortest, D' R'.
    plan = given.a_plan(member, given.a_set(), 1, "D D2 R'")
    verdict = plan.verdict
    assert (verdict.solved, verdict.moves, verdict.best, verdict.excess) == (True, 3, 2, 1)
    assert plan.rules_version == verdict.rules_version == verdict.report["version"]
    assert PlanReport.from_dict(verdict.report).to_dict() == verdict.report


def test_a_verdict_costs_as_many_queries_however_many_planned_the_scramble(given, club) -> None:
    a_set, counts = given.a_set(), []
    crowd = [make_membership(club, f"Member {number}") for number in range(6)]
    for who in crowd:
        # Three turns over the best: everybody loses the same moves.
        plan = given.a_plan(who, a_set, 1, "U U' D2 D R'", checked=False)
        with CaptureQueriesContext(connection) as queries:
            assert tasks.check_plan.run(plan.pk)
        counts.append(len(queries))
    assert len(set(counts[1:])) == 1, counts
    assert counts[-1] <= 18
    assert summaries.differences() == []


def test_one_message_may_tell_of_several_plans(given, member, second) -> None:
    a_set = given.a_set()
    plans = [given.a_plan(who, a_set, 1, "D' R'", checked=False) for who in (member, second)]
    assert tasks.check_plan.run(*(plan.pk for plan in plans))
    other = given.a_plan(member, a_set, 2, "R' D'", checked=False)
    # Told of again beside one that waits: that one is checked all the same.
    assert not tasks.check_plan.run(plans[0].pk, other.pk)
    other.refresh_from_db()
    assert (other.status, Verdict.objects.count()) == (PlanStatus.CHECKED, 3)


def test_delivered_twice_is_delivered_once(given, member) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D' R'")
    first = plan.verdict.checked_at
    assert not tasks.check_plan.run(plan.pk)
    plan.refresh_from_db()
    assert (plan.attempts, plan.verdict.checked_at) == (1, first)


def test_of_two_workers_on_one_plan_one_records(given, member) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D' R'", checked=False)
    assert verdicts.claim(plan_id=plan.pk)
    assert verdicts.claim(plan_id=plan.pk)
    found = report(plan)
    assert verdicts.record(plan_id=plan.pk, report=found)
    assert not verdicts.record(plan_id=plan.pk, report=found)
    assert Verdict.objects.count() == 1


def test_the_deciding_update_filters_on_the_rows_own_columns(given, member) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D' R'", checked=False)
    with CaptureQueriesContext(
        connection,
    ) as queries:
        verdicts.claim(plan_id=plan.pk)
        verdicts.record(plan_id=plan.pk, report=report(plan))
    updates = [q["sql"] for q in queries if q["sql"].startswith('UPDATE "training_plan"')]
    # A sub-select would let several writers win one row on PostgreSQL.
    assert len(updates) == 2
    assert not any("SELECT" in sql or "JOIN" in sql for sql in updates)


def test_a_plan_that_is_gone_is_no_error() -> None:
    assert verdicts.claim(plan_id=10**9) is None


def test_attempts_are_counted_before_the_work_and_capped_with_a_reason(
    given, member, monkeypatch
) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D' R'", checked=False)

    def dies(*args: object, **kwargs: object) -> None:
        raise MemoryError

    monkeypatch.setattr(tasks, "review_plan", dies)
    for attempt in range(1, MOST_ATTEMPTS + 1):
        with pytest.raises(MemoryError):
            tasks.check_plan.run(plan.pk)
        plan.refresh_from_db()
        assert (plan.attempts, plan.status) == (attempt, PlanStatus.WAITING)
    assert not tasks.check_plan.run(plan.pk)
    plan.refresh_from_db()
    assert plan.status == PlanStatus.FAILED
    assert "stopped three times" in plan.failure_reason
    assert MOST_ATTEMPTS == 3
    assert "A coach can have it checked again" in plan.failure_reason


def test_a_coach_has_a_failed_plan_checked_again(
    given, member, coach, outsider, rung, django_capture_on_commit_callbacks
) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D' R'", checked=False)
    Plan.objects.update(attempts=MOST_ATTEMPTS)
    verdicts.claim(plan_id=plan.pk)
    for stranger in (member, outsider):
        with pytest.raises(refusals.NotAllowed):
            check_again(plan=plan, by=stranger)
    rung.clear()
    with django_capture_on_commit_callbacks(execute=True):
        plan = check_again(plan=plan, by=coach)
    assert (plan.status, plan.attempts, rung) == (PlanStatus.WAITING, 0, [plan.pk])
    assert tasks.check_plan.run(plan.pk)


def test_a_late_verdict_is_taken_by_a_plan_given_up_on_but_not_by_a_withdrawn_one(
    given, member, second, coach
) -> None:
    a_set = given.a_set()
    given_up = given.a_plan(member, a_set, 1, "D' R'", checked=False)
    verdicts.fail(plan_id=given_up.pk, reason=verdicts.GAVE_UP)
    assert verdicts.record(plan_id=given_up.pk, report=report(given_up))
    withdrawn = given.a_plan(second, a_set, 1, "D' R'", checked=False)
    withdraw_plan(plan=withdrawn, by=coach, reason="entered twice")
    assert not verdicts.record(plan_id=withdrawn.pk, report=report(withdrawn))


def test_a_late_verdict_leaves_no_reason_why_there_is_none(given, member) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D' R'", checked=False)
    verdicts.fail(plan_id=plan.pk, reason="no answer")
    assert verdicts.record(plan_id=plan.pk, report=report(plan))
    plan.refresh_from_db()
    assert (plan.status, plan.failure_reason) == (PlanStatus.CHECKED, "")


def test_a_verdict_is_stamped_with_the_time_that_it_is_told(given, member) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D' R'", checked=False)
    later = NOON + timedelta(hours=3)
    assert verdicts.record(plan_id=plan.pk, report=report(plan), now=later)
    assert Verdict.objects.get(plan=plan).checked_at == later


def test_the_sweep_rings_for_what_waits_too_long_oldest_first_and_stamps_it(
    given, member, rung
) -> None:
    a_set = given.a_set()
    plans = [
        given.a_plan(member, a_set, n, "R", at=NOON + timedelta(seconds=n), checked=False)
        for n in (1, 2, 3)
    ]
    rung.clear()
    now = NOON + timedelta(seconds=12)
    assert verdicts.sweep(now=now) == 2
    assert rung == [plans[0].pk, plans[1].pk]
    assert verdicts.sweep(now=now) == 0
    assert verdicts.sweep(now=now + timedelta(seconds=11), limit=1) == 1


def test_a_stamp_from_before_the_clock_was_set_back_is_no_reason_to_wait(
    given, member, rung
) -> None:
    a_set = given.a_set()
    plans = [given.a_plan(member, a_set, n, "R", checked=False) for n in (1, 2)]
    rung.clear()
    yesterday = NOON - timedelta(days=1)
    assert verdicts.sweep(now=yesterday) == 2
    assert sorted(rung) == [plan.pk for plan in plans]
    assert verdicts.sweep(now=yesterday) == 0
    assert verdicts.sweep(now=yesterday + timedelta(seconds=11)) == 2


def test_a_bell_that_nobody_heard_leaves_the_plan_late_for_the_very_next_sweep(
    given, member, monkeypatch
) -> None:
    a_set = given.a_set()
    plans = [given.a_plan(member, a_set, n, "R", checked=False) for n in (1, 2)]
    tries: list[int] = []

    def deaf(plan_id: int) -> bool:
        tries.append(plan_id)
        return False

    monkeypatch.setattr("training.dispatch.ring", deaf)
    now = NOON + timedelta(minutes=1)
    assert verdicts.sweep(now=now) == 0
    assert tries == [plans[0].pk]
    monkeypatch.setattr("training.dispatch.ring", lambda plan_id: True)
    assert verdicts.sweep(now=now + timedelta(seconds=1)) == 2


def test_the_sweep_gives_up_on_a_plan_out_of_attempts(given, member, rung) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "R", checked=False)
    Plan.objects.update(attempts=MOST_ATTEMPTS)
    rung.clear()
    assert verdicts.sweep(now=NOON + timedelta(minutes=1)) == 0
    plan.refresh_from_db()
    assert (plan.status, rung) == (PlanStatus.FAILED, [])


def test_giving_up_on_one_plan_leaves_the_others_waiting(given, member, second) -> None:
    a_set = given.a_set()
    given_up, beside = (given.a_plan(who, a_set, 1, "R", checked=False) for who in (member, second))
    Plan.objects.filter(pk=beside.pk).update(attempts=MOST_ATTEMPTS)
    assert not verdicts.fail(plan_id=given_up.pk, reason="x", only_out_of_attempts=True)
    assert verdicts.fail(plan_id=given_up.pk, reason="stopped" * 40)
    assert not verdicts.fail(plan_id=given_up.pk, reason="again")
    given_up.refresh_from_db()
    beside.refresh_from_db()
    assert given_up.status == PlanStatus.FAILED
    assert given_up.failure_reason == ("stopped" * 40)[:200]
    assert (beside.status, beside.failure_reason) == (PlanStatus.WAITING, "")
    # Claiming the one that is out of attempts gives up on that one alone.
    third = given.a_plan(member, a_set, 2, "R", checked=False)
    assert verdicts.claim(plan_id=beside.pk) is None
    beside.refresh_from_db()
    third.refresh_from_db()
    assert (beside.status, third.status) == (PlanStatus.FAILED, PlanStatus.WAITING)


def test_no_plan_is_checked_too_so_that_its_answers_can_be_shown(given, member) -> None:
    plan = given.a_plan(member, given.a_set(), 1, None)
    assert not plan.verdict.solved
    assert plan.verdict.report["shortest"][0]["text"] == "D' R'"


@pytest.mark.parametrize(
    "broken",
    [
        {"solved": True, "excess": None},
        {"solved": False, "excess": 2},
        {"moves": 9},
        {"best": 9, "moves": 10},
    ],
)
def test_the_database_refuses_a_verdict_that_does_not_add_up(given, member, broken) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D D2 R'")
    with pytest.raises(IntegrityError), transaction.atomic():
        Verdict.objects.filter(plan=plan).update(**broken)
