"""Two sweeps at once, and a sweep beside workers: what another does in between, played."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest

from solverworker.review import check_plan
from tests.conftest import NOON
from training.models import MOST_ATTEMPTS, Plan, PlanStatus
from training.services import verdicts

pytestmark = pytest.mark.django_db

LATER = NOON + timedelta(minutes=1)


@pytest.fixture
def waiting(given, member) -> list[Plan]:
    """Three plans that wait too long, the oldest first."""
    a_set = given.a_set()
    return [
        given.a_plan(member, a_set, n, "R", at=NOON + timedelta(seconds=n), checked=False)
        for n in (1, 2, 3)
    ]


@pytest.fixture
def meanwhile(monkeypatch) -> Callable[..., list[int]]:
    """What rings, and what another process does while the first bell is rung for."""

    def plays(does: Callable[[], object], *, heard: bool = True) -> list[int]:
        rung: list[int] = []

        def ring(plan_id: int) -> bool:
            if not rung:
                does()
            rung.append(plan_id)
            return heard

        monkeypatch.setattr("training.dispatch.ring", ring)
        return rung

    return plays


def test_one_out_of_attempts_does_not_keep_the_younger_ones_from_their_bell(
    waiting, meanwhile
) -> None:
    rung = meanwhile(lambda: None)
    Plan.objects.filter(pk=waiting[0].pk).update(attempts=MOST_ATTEMPTS)
    assert verdicts.sweep(now=LATER) == 2
    assert rung == [waiting[1].pk, waiting[2].pk]


def test_what_another_process_gave_up_on_in_between_is_not_rung_for(waiting, meanwhile) -> None:
    second = Plan.objects.filter(pk=waiting[1].pk)
    rung = meanwhile(lambda: second.update(status=PlanStatus.FAILED, failure_reason="x"))
    assert verdicts.sweep(now=LATER) == 2
    assert rung == [waiting[0].pk, waiting[2].pk]


def test_what_another_sweep_rang_for_in_between_is_not_rung_for_again(waiting, meanwhile) -> None:
    second = Plan.objects.filter(pk=waiting[1].pk)
    rung = meanwhile(lambda: second.update(rung_at=LATER))
    assert verdicts.sweep(now=LATER) == 2
    assert rung == [waiting[0].pk, waiting[2].pk]


def test_a_bell_that_nobody_heard_does_not_take_back_what_another_sweep_stamped(
    waiting, meanwhile
) -> None:
    first = Plan.objects.filter(pk=waiting[0].pk)
    by_another = LATER + timedelta(seconds=1)
    meanwhile(lambda: first.update(rung_at=by_another), heard=False)
    assert verdicts.sweep(now=LATER) == 0
    assert first.get().rung_at == by_another


@pytest.mark.usefixtures("clock")
def test_without_an_instant_it_is_now(waiting, meanwhile, clock) -> None:
    meanwhile(lambda: None)
    clock(NOON)
    assert verdicts.sweep() == 0
    clock(LATER)
    assert verdicts.sweep() == 3


def test_a_verdict_on_a_plan_that_is_gone_is_recorded_by_nobody(waiting) -> None:
    report = check_plan("R D", "R", colours=["yellow"])
    Plan.objects.filter(pk=waiting[0].pk).delete()
    assert verdicts.record(plan_id=waiting[0].pk, report=report) is False
