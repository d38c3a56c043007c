"""What plans leave: made after the verdict, in pieces, once; and added up over a member's plans."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest

from solverworker import tasks
from solverworker.outlook import OUTLOOK_VERSION, PlanOutlook
from solverworker.review import plan_outlook
from tests.conftest import NOON, make_membership
from training import dispatch
from training.entry import Entry
from training.models import Heartbeat, Outlook, Plan
from training.selectors.plans import scramble_for
from training.services import erasing, outlooks, periodic, rechecks, verdicts
from training.services.plans import hand_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def rung(monkeypatch) -> list[tuple[str, list[int]]]:
    """Messages that went to the queue."""
    sent: list[tuple[str, list[int]]] = []

    def send(name: str, args: list[int], meanwhile: str) -> bool:
        sent.append((name, args))
        return True

    monkeypatch.setattr(dispatch, "_send", send)
    return sent


def facts(plan: Plan) -> PlanOutlook | None:
    row = Outlook.objects.get(plan=plan)
    return None if row.facts is None else PlanOutlook.from_dict(row.facts)


def a_plan_with_pair(given, who, a_set, number, moves, pair) -> Plan:
    plan = hand_in(
        membership=who,
        scramble=given.scramble(a_set, number),
        entry=Entry(moves, pair=pair),
        key=uuid.uuid4(),
        now=NOON,
    ).plan
    assert tasks.check_plan.run(plan.pk)
    plan.refresh_from_db()
    return plan


def test_the_row_comes_with_the_verdict_and_is_filled_by_the_slow_queue(
    given, member, rung, django_capture_on_commit_callbacks
) -> None:
    a_set = given.a_set()
    plan = given.a_plan(member, a_set, 1, "D' R'", checked=False)
    assert not Outlook.objects.exists()
    with django_capture_on_commit_callbacks(execute=True):
        assert tasks.check_plan.run(plan.pk)
    assert rung == [(dispatch.OUTLOOKS, [plan.pk])]
    assert (Outlook.objects.get().version, facts(plan)) == (0, None)
    assert tasks.outlooks.run(plan.pk) == 1
    assert facts(plan) == plan_outlook("R D", "D' R'", colours=["yellow"])
    assert Outlook.objects.get().version == OUTLOOK_VERSION
    # Delivered twice it is made once.
    assert tasks.outlooks.run(plan.pk) == 0
    assert Outlook.objects.count() == 1


def test_the_task_waits_in_the_slow_queue() -> None:
    from clubsite.celery import app

    assert app.conf.task_routes[dispatch.OUTLOOKS] == {"queue": "slow"}
    assert tasks.outlooks.name == dispatch.OUTLOOKS


def test_killed_at_any_plan_nothing_is_lost_and_nothing_is_made_twice(given, club) -> None:
    a_set = given.a_set()
    plans = [
        given.a_plan(make_membership(club, f"Member {number}"), a_set, 1, "D' R'")
        for number in range(4)
    ]
    made: list[str] = []

    def dies_at_third(*asked: object) -> PlanOutlook:
        if len(made) == 2:
            raise SystemExit
        made.append(str(asked))
        return tasks.outlook_maker(*asked)  # type: ignore[arg-type]

    with pytest.raises(SystemExit):
        outlooks.work(make=dies_at_third)
    assert Outlook.objects.to_be_made().count() == 2
    assert outlooks.work(make=tasks.outlook_maker) == 2
    assert outlooks.work(make=tasks.outlook_maker) == 0
    assert all(facts(plan) is not None for plan in plans)
    assert Outlook.objects.count() == 4


def test_the_sweep_rings_for_what_nobody_makes_and_lets_somebody_at_work_be(
    given, member, rung
) -> None:
    given.a_plan(member, given.a_set(), 1, "D' R'")
    rung.clear()
    periodic.sweep(now=NOON)
    assert (dispatch.OUTLOOKS, []) in rung
    # Whoever works says so with each batch.
    outlooks.work(make=tasks.outlook_maker, now=NOON)
    Outlook.objects.update(version=0)
    rung.clear()
    assert not outlooks.sweep(now=NOON + timedelta(seconds=10))
    assert outlooks.sweep(now=NOON + timedelta(seconds=30))
    # The clock was set back: the heartbeat lies ahead and is no reason to wait.
    Heartbeat.objects.filter(name=outlooks.AT_WORK).update(beaten_at=NOON + timedelta(days=1))
    assert outlooks.sweep(now=NOON)
    Outlook.objects.update(version=OUTLOOK_VERSION)
    assert not outlooks.sweep(now=NOON)


def test_verdicts_come_first(given, member, second, rung) -> None:
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "D' R'")
    late = given.a_plan(second, a_set, 1, "D' R'", checked=False)
    at = late.rung_at
    # The plan of this moment is nobody's queue yet; one that waits for two seconds is.
    assert outlooks.work(make=tasks.outlook_maker, now=at + timedelta(seconds=2)) == 0
    assert Outlook.objects.to_be_made().count() == 1
    # The sweep comes back to it.
    rung.clear()
    assert outlooks.sweep(now=at + timedelta(seconds=2))
    assert tasks.check_plan.run(late.pk)
    assert outlooks.work(make=tasks.outlook_maker, now=at + timedelta(seconds=3)) == 2


def test_who_is_asked_for_the_next_asks_for_more_until_there_is_none(given, member, rung) -> None:
    a_set = given.a_set()
    for number in (1, 2):
        given.a_plan(member, a_set, number, "D' R'")
    rung.clear()
    assert tasks.outlooks.run() == 2
    assert rung == [(dispatch.OUTLOOKS, [])]
    rung.clear()
    assert tasks.outlooks.run() == 0
    assert not rung


def test_a_plan_that_cannot_be_read_stops_nobody(given, member, caplog) -> None:
    a_set = given.a_set()
    broken, sound = (given.a_plan(member, a_set, number, "D' R'") for number in (1, 2))
    Plan.objects.filter(pk=broken.pk).update(canonical="Q")
    assert outlooks.work(make=tasks.outlook_maker) == 2
    assert facts(broken) is None
    assert facts(sound) is not None
    assert not Outlook.objects.to_be_made().exists()
    assert f"plan {broken.pk}" in caplog.text


def test_by_newer_rules_of_either_kind_they_are_made_anew(given, member, monkeypatch) -> None:
    a_set = given.a_set()
    plan, other = (given.a_plan(member, a_set, number, "D' R'") for number in (1, 2))
    outlooks.work(make=tasks.outlook_maker)
    assert not Outlook.objects.to_be_made().exists()
    # By newer rules one plan is judged for another colour; the other says what it said.
    monkeypatch.setattr(rechecks, "SOLVER_VERSION", plan.rules_version + 1)
    from dataclasses import replace

    def newer(scramble, text, colours):
        found = tasks.checker(scramble, text, colours)
        colour = "white" if scramble == "R D" else found.colour
        return replace(found, colour=colour, version=plan.rules_version + 1)

    assert rechecks.work(check=newer) == 2
    assert rechecks.switch(now=NOON).plans == 2
    assert [one.plan_id for one in Outlook.objects.to_be_made()] == [plan.pk]
    assert facts(other) is not None
    outlooks.work(make=tasks.outlook_maker)
    assert not Outlook.objects.to_be_made().exists()
    # An older version of an outlook waits, and is not shown.
    monkeypatch.setattr("training.models.outlooks.OUTLOOK_VERSION", OUTLOOK_VERSION + 1)
    assert Outlook.objects.to_be_made().count() == 2


def test_history_and_failed_plans_come_to_their_rows_too(given, member) -> None:
    a_set = given.a_set()
    plan = Plan(
        scramble=given.scramble(a_set, 1),
        membership=member,
        canonical="D' R'",
        key=uuid.uuid4(),
    )
    verdicts.record_history(checked=[(plan, tasks.checker("R D", "D' R'", ["yellow"]))])
    assert Outlook.objects.to_be_made().count() == 1


def test_the_pair_stands_beside_the_plan_and_changes_nothing_that_counts(
    given, member, second
) -> None:
    a_set = given.a_set()
    with_pair = a_plan_with_pair(given, member, a_set, 1, "D' R'", "(U R U')  // in")
    without = given.a_plan(second, a_set, 1, "D' R'")
    assert (with_pair.pair_written, with_pair.pair_canonical) == ("(U R U')  // in", "U R U'")
    assert (without.pair_written, without.pair_canonical) == ("", "")
    figures = ("solved", "moves", "best", "excess", "colour", "report")
    assert [getattr(with_pair.verdict, one) for one in figures] == [
        getattr(without.verdict, one) for one in figures
    ]
    outlooks.work(make=tasks.outlook_maker)
    found = facts(with_pair)
    assert found is not None
    assert found.pair_ahead is not None
    assert (found.pair_ahead.moves, found.pair_ahead.whole) == (3, 5)
    assert facts(without).pair_ahead is None


def test_erased_with_the_person(given, coach, member) -> None:
    a_set = given.a_set()
    plan = a_plan_with_pair(given, member, a_set, 1, "D' R'", "U R U'")
    outlooks.work(make=tasks.outlook_maker)
    erasing.erase_membership(by=coach, membership=member, typed="Ines", now=NOON)
    left = Plan.objects.get(pk=plan.pk)
    assert (left.pair_written, left.pair_canonical) == ("", "")
    assert not Outlook.objects.exists()
    assert outlooks.work(make=tasks.outlook_maker) == 0


def test_erased_while_it_is_made_it_does_not_come_back(given, coach, member) -> None:
    given.a_plan(member, given.a_set(), 1, "D' R'")

    def meanwhile(*asked: object) -> PlanOutlook:
        erasing.erase_membership(by=coach, membership=member, typed="Ines", now=NOON)
        return tasks.outlook_maker(*asked)  # type: ignore[arg-type]

    assert outlooks.work(make=meanwhile) == 1
    assert not Outlook.objects.exists()


@pytest.mark.parametrize("sight", ["closing", "coaches"])
def test_what_a_plan_leaves_is_sealed_as_its_answers_are(given, member, sight) -> None:
    # It tells of the best: as much as the report does.
    a_set = given.a_set(answers_to=sight)
    a_plan_with_pair(given, member, a_set, 1, "D' R'", "U R U'")
    outlooks.work(make=tasks.outlook_maker)
    _, one = scramble_for(member, a_set.pk, 1, NOON)
    assert one.plan.report is None
    assert one.plan.outlook is None
    assert one.plan.pair_canonical == "U R U'"
    later = NOON + timedelta(days=2)
    _, one = scramble_for(member, a_set.pk, 1, later)
    assert (one.plan.outlook is None) == (one.plan.report is None) == (sight == "coaches")
