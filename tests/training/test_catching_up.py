"""After an upgrade verdicts and summaries are brought up to date, and pages say so meanwhile."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from django.urls import reverse

from solverworker import tasks
from solverworker.report import SOLVER_VERSION
from tests.conftest import NOON
from tests.training.test_rechecks import by_older_rules
from training.models import Plan, SetSummary, Verdict
from training.selectors.health import catches_up
from training.services import catching_up, rechecks, summaries

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan(given, member) -> Plan:
    made: Plan = given.a_plan(member, given.a_set(), 1, "D D2 R'")
    return made


def caught_up(now: datetime = NOON) -> list[str]:
    said: list[str] = []
    catching_up.catch_up(check=tasks.checker, say=said.append, now=now)
    return said


def test_older_rules_are_noticed_told_and_brought_up_to_date(plan) -> None:
    by_older_rules(plan, moves=5, excess=3)
    assert catching_up.mark_if_due(upgraded=False)
    said = caught_up()
    assert "Plans are checked anew: 1." in said[0]
    assert "By the newer rules now: plans 1, in sets 1." in said
    verdict = Verdict.objects.get(plan=plan)
    assert (verdict.rules_version, verdict.excess) == (SOLVER_VERSION, 1)
    assert summaries.differences() == []
    assert not catches_up()
    assert not catching_up.mark_if_due(upgraded=False)


def test_results_in_closed_sets_stay_and_are_asked_for_once(plan) -> None:
    by_older_rules(plan, moves=5, excess=3)
    catching_up.mark_if_due(upgraded=False)
    assert (
        "Results in closed sets stay as they were (1)." in caught_up(NOON + timedelta(days=9))[-1]
    )
    assert Verdict.objects.get(plan=plan).excess == 3
    assert not catching_up.mark_if_due(upgraded=False)


def test_broken_off_it_is_begun_again(plan, monkeypatch) -> None:
    by_older_rules(plan)
    catching_up.mark_if_due(upgraded=False)

    def cut(**_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(rechecks, "switch", cut)
        with pytest.raises(KeyboardInterrupt):
            caught_up()
    # The plans are checked by now, and yet nothing is done before the switch.
    assert catching_up.mark_if_due(upgraded=False)
    assert "By the newer rules now: plans 1, in sets 1." in caught_up()


def test_summaries_of_another_version_are_compared_and_made_anew(plan) -> None:
    summaries.renew(plan=plan)
    SetSummary.objects.update(lost=17)
    assert not catching_up.mark_if_due(upgraded=False)
    assert catching_up.mark_if_due(upgraded=True)
    assert caught_up() == ["Summaries that differed from the verdicts were made anew, in sets: 1."]
    assert summaries.differences() == []


def test_an_upgrade_without_differences_says_nothing(plan) -> None:
    summaries.renew(plan=plan)
    assert catching_up.mark_if_due(upgraded=True)
    assert caught_up() == []
    assert not catches_up()


def test_a_new_club_has_nothing_to_catch_up_with(given) -> None:
    assert not catching_up.mark_if_due(upgraded=True)


def test_the_pages_that_sum_up_say_so_meanwhile(client, coach, plan) -> None:
    client.force_login(coach.person)
    said = "are being brought up to date"
    pages = [
        reverse("coach_review", args=[coach.club.slug]),
        reverse("progress", args=[coach.club.slug]),
    ]
    for page in pages:
        assert said not in client.get(page).text
    summaries.renew(plan=plan)
    catching_up.mark_if_due(upgraded=True)
    for page in pages:
        assert said in client.get(page).text
