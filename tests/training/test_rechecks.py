"""Old plans by new rules: checked beside their verdicts, looked at, switched set by set."""

from __future__ import annotations

from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import call_command

from solverworker import tasks
from solverworker.report import SOLVER_VERSION, PlanReport
from tests.conftest import NOON
from training.models import Plan, PlanStatus, Recheck, SetSummary, Verdict
from training.services import rechecks, summaries
from training.services.corrections import withdraw_plan

pytestmark = pytest.mark.django_db

# What rules 1 did not tell.
NEWER = ("techniques", "handling", "lost", "edges_relative", "hints")


def by_older_rules(plan: Plan, **figures: int) -> Verdict:
    """Make a verdict one by rules 1, as such a row stands in an old database."""
    verdict = Verdict.objects.get(plan=plan)
    report = {name: value for name, value in verdict.report.items() if name not in NEWER}
    report |= {"version": 1, **figures}
    report["shortest"] = [
        {"colour": way["colour"], "text": way["text"]} for way in report["shortest"]
    ]
    Verdict.objects.filter(plan=plan).update(report=report, rules_version=1, **figures)
    Plan.objects.filter(pk=plan.pk).update(rules_version=1)
    summaries.renew_sets(set_ids=[plan.scramble.scramble_set_id])
    return Verdict.objects.get(plan=plan)


def work_through(limit: int = 500) -> int:
    done = 0
    while found := rechecks.work(check=tasks.checker, limit=limit):
        done += found
    return done


@pytest.fixture
def old_plans(given, member, second) -> list[Plan]:
    """Three plans by older rules; the last one's result was then one move worse."""
    today = given.a_set()
    plans = [
        given.a_plan(member, today, 1, "D D2 R'"),
        given.a_plan(member, today, 2, "R' D'"),
        given.a_plan(second, today, 1, "D' R' U U'"),
    ]
    for plan in plans[:2]:
        by_older_rules(plan)
    by_older_rules(plans[2], moves=5, excess=3)
    return plans


def test_a_report_by_older_rules_reads_back(old_plans) -> None:
    report = PlanReport.from_dict(Verdict.objects.get(plan=old_plans[0]).report)
    assert (report.version, report.techniques, report.handling, report.lost) == (1, None, None, ())
    assert report.shortest[0].ideas == ()


def test_nothing_anybody_sees_changes_before_the_switch(old_plans) -> None:
    before = list(Verdict.objects.order_by("pk").values())
    assert work_through() == 3
    assert list(Verdict.objects.order_by("pk").values()) == before
    assert rechecks.backlog() == rechecks.Backlog(old=3, done=3)


def test_who_changes_is_shown(old_plans) -> None:
    work_through()
    (change,) = rechecks.changes(now=NOON)
    assert (change.member, change.number, change.before, change.after) == ("Bashir", 1, 3, 2)
    assert not change.held
    assert not change.trouble


def test_the_switch_brings_the_newer_verdicts_and_their_summaries(old_plans) -> None:
    work_through()
    done = rechecks.switch(now=NOON)
    assert (done.plans, done.held, done.sets) == (3, 0, 1)
    for plan in old_plans:
        plan.refresh_from_db()
        assert plan.rules_version == plan.verdict.rules_version == SOLVER_VERSION
        report = PlanReport.from_dict(plan.verdict.report)
        assert report.version == SOLVER_VERSION
        assert report.techniques is not None
    assert Verdict.objects.get(plan=old_plans[2]).excess == 2
    assert SetSummary.objects.get(membership=old_plans[2].membership).lost == 2
    assert summaries.differences() == []
    assert not Recheck.objects.exists()


def test_done_twice_it_changes_nothing(old_plans) -> None:
    work_through()
    rechecks.switch(now=NOON)
    before = list(Verdict.objects.order_by("pk").values())
    assert work_through() == 0
    assert rechecks.switch(now=NOON) == rechecks.Switched(plans=0, held=0, sets=0)
    assert list(Verdict.objects.order_by("pk").values()) == before


def test_broken_off_it_goes_on_where_it_stopped(old_plans) -> None:
    assert rechecks.work(check=tasks.checker, limit=1) == 1
    first = Recheck.objects.get().checked_at
    assert rechecks.backlog() == rechecks.Backlog(old=3, done=1)
    assert work_through(limit=1) == 2
    assert Recheck.objects.order_by("plan_id").first().checked_at == first


def test_a_result_in_a_closed_set_is_left_alone_unless_told(given, member) -> None:
    closed = given.a_set(opens=NOON - timedelta(days=2), closes=NOON - timedelta(days=1))
    at = NOON - timedelta(days=2) + timedelta(hours=1)
    changed = given.a_plan(member, closed, 1, "D D2 R'", at=at)
    same = given.a_plan(member, closed, 2, "R' D'", at=at)
    by_older_rules(changed, moves=4, excess=2)
    by_older_rules(same)
    work_through()
    (change,) = rechecks.changes(now=NOON)
    assert change.held
    done = rechecks.switch(now=NOON)
    assert (done.plans, done.held) == (1, 1)
    # What is told of a plan is newer; a result of the closed table is as it was.
    assert Verdict.objects.get(plan=same).rules_version == SOLVER_VERSION
    assert Verdict.objects.get(plan=changed).excess == 2
    done = rechecks.switch(now=NOON, with_closed=True)
    assert (done.plans, done.held) == (1, 0)
    assert Verdict.objects.get(plan=changed).excess == 1


def test_a_verdict_that_is_newer_by_now_is_left_alone(old_plans) -> None:
    work_through()
    Verdict.objects.filter(plan=old_plans[2]).update(
        rules_version=SOLVER_VERSION, checked_at=NOON - timedelta(minutes=1)
    )
    assert rechecks.switch(now=NOON).plans == 2
    left = Verdict.objects.get(plan=old_plans[2])
    assert (left.checked_at, left.excess) == (NOON - timedelta(minutes=1), 3)
    assert not Recheck.objects.exists()


def test_a_withdrawn_plan_stays_withdrawn(old_plans, coach) -> None:
    withdraw_plan(plan=old_plans[0], by=coach, reason="Wrong cube", now=NOON)
    work_through()
    rechecks.switch(now=NOON)
    old_plans[0].refresh_from_db()
    assert old_plans[0].status == PlanStatus.WITHDRAWN
    assert summaries.differences() == []


def test_a_plan_that_cannot_be_checked_keeps_its_verdict_and_stops_nothing(old_plans) -> None:
    Plan.objects.filter(pk=old_plans[0].pk).update(canonical="R4")
    assert work_through() == 3
    troubled = [change for change in rechecks.changes(now=NOON) if change.trouble]
    assert [change.plan_id for change in troubled] == [old_plans[0].pk]
    assert rechecks.switch(now=NOON).plans == 2
    assert Verdict.objects.get(plan=old_plans[0]).rules_version == 1


def test_the_task_asks_for_more_until_none_is_left(old_plans, monkeypatch) -> None:
    asked: list[str] = []
    monkeypatch.setattr("training.dispatch._send", lambda name, *rest: asked.append(name) or True)
    assert tasks.recheck.run() == 3
    assert asked == ["solverworker.recheck"]
    assert tasks.recheck.run() == 0
    assert asked == ["solverworker.recheck"]


def run(*options: str) -> str:
    out = StringIO()
    call_command("recheck", *options, stdout=out, stderr=StringIO())
    return out.getvalue()


def test_the_command_shows_then_switches(old_plans, clock) -> None:
    looked = run("--look")
    assert "Bashir, Lantern Street, 2026-11-25, scramble 1: 3 over, now 2 over" in looked
    assert Verdict.objects.filter(rules_version=1).count() == 3
    done = run()
    assert "3 verdicts of 1 set are now by the newer rules." in done
    assert run() == f"Every verdict was reached by the current rules, {SOLVER_VERSION}.\n"


def test_the_command_can_leave_the_checking_to_the_workers(old_plans, monkeypatch) -> None:
    asked: list[str] = []
    monkeypatch.setattr("training.dispatch._send", lambda name, *rest: asked.append(name) or True)
    assert "0 of 3 plans checked; the workers go on." in run("--queue")
    assert asked == ["solverworker.recheck"]
    work_through()
    assert "3 of 3 plans checked. Run it again without --queue" in run("--queue")


def test_what_an_old_worker_records_behind_its_back_is_found(old_plans) -> None:
    first, *_ = old_plans
    by_now = Verdict.objects.get(plan=first)
    Verdict.objects.filter(pk=by_now.pk).update(rules_version=SOLVER_VERSION)
    assert work_through() == 2
    Verdict.objects.filter(pk=by_now.pk).update(rules_version=by_now.rules_version)
    assert work_through() == 1
    assert rechecks.backlog() == rechecks.Backlog(old=3, done=3)
