"""Every verdict and summary is recomputed from the plans; planted differences are found and mended.

Source: the solver itself, whose own tests hold it to slow twins; that plans are never changed is
our own rule.
"""

from __future__ import annotations

from collections.abc import Callable
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from solverworker import tasks
from solverworker.outlook import OUTLOOK_VERSION
from tests.conftest import Given
from training import dispatch
from training.management.commands import verify
from training.models import (
    Derived,
    Difference,
    Kind,
    Membership,
    Outlook,
    Plan,
    PlanStatus,
    ScrambleSummary,
    SetSummary,
    TechniqueCount,
    Verdict,
    Verification,
)
from training.services import summaries, verifying
from training.services.corrections import withdraw_plan

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def niceness(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The suite itself keeps its priority; what was asked for is noted."""
    asked: list[int] = []
    monkeypatch.setattr(verify.os, "nice", asked.append)
    return asked


@pytest.fixture
def plans(given: Given, member: Membership, second: Membership, coach: Membership) -> list[Plan]:
    """Five checked plans in two sets, one of them withdrawn since."""
    one, two = given.a_set(), given.a_set(kind=Kind.HOMEWORK, scrambles=("R D", "F R"))
    made = [
        given.a_plan(member, one, 1, "D' R' U U'"),
        given.a_plan(member, one, 2, "R' D'"),
        given.a_plan(second, one, 1, "R"),
        given.a_plan(second, two, 1, "D' R'"),
        given.a_plan(member, two, 2, None),
    ]
    withdraw_plan(plan=made[3], by=coach, reason="wrong cube")
    return made


def run(*options: str) -> tuple[int, str]:
    """The exit status of the command, and what it said."""
    out = StringIO()
    try:
        call_command("verify", *options, stdout=out, stderr=StringIO())
    except CommandError as error:
        return error.returncode, f"{out.getvalue()}{error}"
    return 0, out.getvalue()


def rows_of_plans() -> list[dict[str, Any]]:
    return list(Plan.objects.order_by("pk").values())


def test_of_a_healthy_club_nothing_differs(plans: list[Plan], niceness: Any) -> None:
    status, said = run()
    assert status == 0
    assert "5 plans and 2 sets recomputed." in said
    assert "Nothing differs from the plans." in said
    assert niceness == [19]


def other_result(plan: Plan) -> None:
    Verdict.objects.filter(plan=plan).update(moves=5, excess=3)


def other_report(plan: Plan) -> None:
    verdict = Verdict.objects.get(plan=plan)
    verdict.report["shortest"] = verdict.report["shortest"][:-1]
    verdict.save()


def no_report(plan: Plan) -> None:
    Verdict.objects.filter(plan=plan).update(report={"nothing": "of the kind"})


def rules_to_come(plan: Plan) -> None:
    Verdict.objects.filter(plan=plan).update(rules_version=99)


def no_verdict(plan: Plan) -> None:
    Verdict.objects.filter(plan=plan).delete()


def no_outlook(plan: Plan) -> None:
    Outlook.objects.filter(plan=plan).delete()


def other_outlook(plan: Plan) -> None:
    row = Outlook.objects.get(plan=plan)
    row.version, row.facts = OUTLOOK_VERSION, {"own": None}
    row.save()


def outlook_to_come(plan: Plan) -> None:
    Outlook.objects.filter(plan=plan).update(version=99)


def summary_of_member(plan: Plan) -> None:
    SetSummary.objects.filter(membership=plan.membership).update(lost=6)


def summary_missing(plan: Plan) -> None:
    SetSummary.objects.filter(membership=plan.membership).delete()


def idea_counted_wrong(plan: Plan) -> None:
    assert TechniqueCount.objects.filter(membership=plan.membership).update(called=9)


def idea_of_nobodys_plan(plan: Plan) -> None:
    TechniqueCount.objects.create(
        membership=plan.membership,
        scramble_set=plan.scramble.scramble_set,
        code="of_no_plan",
        called=1,
        answered=1,
        lost=0,
    )


def summary_of_scramble(plan: Plan) -> None:
    ScrambleSummary.objects.filter(scramble=plan.scramble).update(lost=9)


PLANTED: list[tuple[Callable[[Plan], None], Derived]] = [
    (other_result, Derived.VERDICT),
    (other_report, Derived.VERDICT),
    (no_report, Derived.VERDICT),
    (rules_to_come, Derived.VERDICT),
    (no_verdict, Derived.NO_VERDICT),
    (no_outlook, Derived.OUTLOOK),
    (other_outlook, Derived.OUTLOOK),
    (outlook_to_come, Derived.OUTLOOK),
    (summary_of_member, Derived.SUMMARY),
    (summary_missing, Derived.SUMMARY),
    (idea_counted_wrong, Derived.SUMMARY),
    (idea_of_nobodys_plan, Derived.SUMMARY),
    (summary_of_scramble, Derived.SCRAMBLE),
]


@pytest.mark.parametrize(("plant", "kind"), PLANTED)
def test_a_planted_difference_is_found_put_right_and_gone(
    plans: list[Plan], plant: Callable[[Plan], None], kind: Derived
) -> None:
    before = list(Verdict.objects.order_by("plan").values("plan", "moves", "excess", "report"))
    plant(plans[0])
    of_plans = rows_of_plans()
    status, said = run()
    assert status == 1
    assert f"{kind.label}: set {plans[0].scramble.scramble_set_id}, " in said
    assert "--repair" in said
    assert kind in set(Difference.objects.values_list("kind", flat=True))
    # Nothing is changed by looking.
    assert run("--again")[0] == 1
    status, said = run("--repair")
    assert status == 0, said
    assert "put right." in said
    assert run()[0] == 0
    assert summaries.differences() == []
    after = list(Verdict.objects.order_by("plan").values("plan", "moves", "excess", "report"))
    assert after == before
    assert rows_of_plans() == of_plans


def test_a_wrong_verdict_takes_its_summaries_along(plans: list[Plan]) -> None:
    """The sums agreed with the wrong verdict: they are made anew with it."""
    other_result(plans[0])
    summaries.renew_sets(set_ids=[plans[0].scramble.scramble_set_id])
    assert run()[0] == 1
    assert run("--look", "--repair")[0] == 0
    assert summaries.differences() == []
    assert SetSummary.objects.get(membership=plans[0].membership, lost=2)


@pytest.mark.parametrize("status", [PlanStatus.WAITING, PlanStatus.FAILED])
def test_a_verdict_on_a_plan_never_checked_is_taken_away(
    plans: list[Plan], status: PlanStatus
) -> None:
    Plan.objects.filter(pk=plans[1].pk).update(status=status, failure_reason="it broke")
    code, said = run("--repair")
    assert code == 0, said
    assert not Verdict.objects.filter(plan=plans[1]).exists()
    assert Plan.objects.get(pk=plans[1].pk).status == status
    assert run()[0] == 0
    if status == PlanStatus.WAITING:
        assert tasks.check_plan.run(plans[1].pk)


def test_what_stands_in_a_plan_is_told_and_stays(plans: list[Plan]) -> None:
    Plan.objects.filter(pk=plans[0].pk).update(rules_version=1)
    status, said = run("--repair")
    assert status == 1
    assert "What is left cannot be derived from the plans." in said
    assert Plan.objects.get(pk=plans[0].pk).rules_version == 1


def test_a_plan_that_cannot_be_read_is_told_and_stays(plans: list[Plan]) -> None:
    Plan.objects.filter(pk=plans[0].pk).update(canonical="not a move")
    verdict = Verdict.objects.get(plan=plans[0])
    assert run("--repair")[0] == 1
    assert Verdict.objects.get(plan=plans[0]).report == verdict.report


def test_verdicts_by_older_rules_are_left_to_recheck(plans: list[Plan]) -> None:
    Verdict.objects.filter(plan=plans[0]).update(rules_version=1)
    Plan.objects.filter(pk=plans[0].pk).update(rules_version=1)
    status, said = run()
    assert status == 0
    assert "1 verdict by older rules not compared: `manage.py recheck`" in said


def test_a_run_broken_off_goes_on_where_it_stopped(
    plans: list[Plan], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(verifying, "PLANS_A_BATCH", 2)
    other_result(plans[0])
    looked: list[str] = []

    def stops(scramble: str, plan: str, colours: Any) -> Any:
        looked.append(plan)
        if len(looked) == 3:
            raise KeyboardInterrupt
        return tasks.checker(scramble, plan, colours)

    monkeypatch.setattr(verify, "_check_plan", stops)
    status, said = run()
    assert (status, said.strip()) == (130, "Stopped. The same command goes on from here.")
    assert "1 thing differs" in run("--look")[1]
    status, said = run()
    assert status == 1
    assert "5 plans and 2 sets recomputed." in said
    # Two of the first batch, one cut short, and the three that were left.
    assert len(looked) == 6
    assert Verification.objects.count() == 1


def test_workers_go_through_it_a_batch_a_message(
    plans: list[Plan], monkeypatch: pytest.MonkeyPatch
) -> None:
    rung: list[str] = []
    monkeypatch.setattr(dispatch, "_send", lambda name, *rest: rung.append(name) or True)
    monkeypatch.setattr(verifying, "PLANS_A_BATCH", 2)
    other_result(plans[0])
    status, said = run("--queue")
    assert (status, rung) == (0, [dispatch.VERIFY])
    assert "0 of 5 plans and 0 of 2 sets recomputed; the workers go on." in said
    while rung:
        rung.clear()
        tasks.verify.run()
    assert Verification.objects.get().ended_at is not None
    status, said = run("--look")
    assert status == 1
    assert "5 plans and 2 sets recomputed." in said


def test_two_at_once_note_each_batch_once(plans: list[Plan]) -> None:
    other_result(plans[0])
    one = verifying.current()
    two = Verification.objects.get(pk=one.pk)
    verifying.work(run=one, check=tasks.checker, make=tasks.outlook_maker)
    verifying.work(run=two, check=tasks.checker, make=tasks.outlook_maker)
    assert Difference.objects.count() == 1
    assert (two.plans, two.sets) == (5, 0)


def test_nobody_there_to_work(plans: list[Plan], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dispatch, "_send", lambda *rest: False)
    assert run("--queue")[0] == 1
    Verification.objects.all().delete()
    assert run("--look") == (1, "Nothing was ever recomputed here.")
