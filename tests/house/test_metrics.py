"""Figures for a monitoring system: off without a token, right whichever process is asked.

Source: the text formats of Prometheus and OpenMetrics, as ``prometheus_client``'s own parsers
read them; RFC 9110 section 11.6.1 (WWW-Authenticate).
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone
from prometheus_client.openmetrics.parser import (
    text_string_to_metric_families as openmetrics_families,
)
from prometheus_client.parser import text_string_to_metric_families

from clubsite import faults, metrics, surroundings
from tests.conftest import NOON
from training.models import Heartbeat, Plan, PlanStatus

pytestmark = pytest.mark.django_db

TOKEN = "figures-for-somebody-who-watches-0123456789"


def ask(token: str = TOKEN, **headers: str) -> Any:
    return Client().get("/metrics/", headers={"Authorization": f"Bearer {token}", **headers})


def read(text: str) -> dict[tuple[str, ...], float]:
    """Every sample by its name and the values of its labels."""
    return {
        (sample.name, *sample.labels.values()): sample.value
        for family in text_string_to_metric_families(text)
        for sample in family.samples
    }


@pytest.fixture
def watched(settings: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    settings.METRICS_TOKEN = TOKEN
    lengths = {"plans": 3, "clock": 0, "slow": 1}
    monkeypatch.setattr(surroundings, "queue_lengths", lambda: lengths)
    monkeypatch.setattr(faults, "counted", lambda: {"web": 2, "task": 1})


def test_nothing_is_there_without_a_token(settings: Any) -> None:
    settings.METRICS_TOKEN = ""
    assert ask().status_code == 404
    assert ask("").status_code == 404


@pytest.mark.parametrize("token", ["", "wrong", TOKEN[:-1], TOKEN + "x", "ø" * 43])
def test_a_wrong_token_learns_nothing(watched: None, token: str) -> None:
    answer = ask(token)
    assert (answer.status_code, answer.headers["WWW-Authenticate"]) == (401, "Bearer")
    assert b"within_eight" not in answer.content


def test_the_token_is_compared_in_constant_time(
    watched: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    compared = []
    real = metrics.hmac.compare_digest
    monkeypatch.setattr(
        metrics.hmac, "compare_digest", lambda a, b: compared.append((a, b)) or real(a, b)
    )
    ask("wrong")
    assert compared == [(b"wrong", TOKEN.encode())]


def test_the_figures_are_those_of_the_database_and_the_broker(
    watched: None, clock: Any, given: Any, member: Any, second: Any
) -> None:
    opened = given.a_set()
    for number in (1, 2):
        plan = given.a_plan(member, opened, number, "D' R'", at=NOON - timedelta(seconds=100))
        plan.verdict.checked_at = plan.handed_in_at + timedelta(seconds=number)
        plan.verdict.save()
    given.a_plan(second, opened, 1, "R", checked=False, at=NOON - timedelta(seconds=42))
    gone = given.a_plan(second, opened, 2, "R")
    Plan.objects.filter(pk=gone.pk).update(status=PlanStatus.WITHDRAWN)
    Heartbeat.objects.create(name="worker", beaten_at=NOON - timedelta(seconds=7))
    found = read(ask().content.decode())
    assert found["within_eight_hand_ins_total",] == 4
    plans = {key[1]: value for key, value in found.items() if key[0] == "within_eight_plans"}
    assert plans == {"waiting": 1, "checked": 2, "failed": 0, "withdrawn": 1}
    assert found["within_eight_oldest_waiting_seconds",] == 42
    assert found["within_eight_heartbeat_age_seconds", "worker"] == 7
    assert ("within_eight_heartbeat_age_seconds", "sweep") not in found
    # Of 0, 1 and 2 seconds (the withdrawn plan was checked at once).
    assert found["within_eight_verdict_seconds", "0.5"] == 1
    assert found["within_eight_verdict_seconds", "0.99"] == 2
    assert found["within_eight_queue_messages", "plans"] == 3
    assert found["within_eight_errors_total", "web"] == 2
    assert found["within_eight_errors_total", "task"] == 1
    assert found["within_eight_free_bytes",] > 0
    assert found["within_eight_broker_up",] == found["within_eight_database_up",] == 1


def test_openmetrics_is_spoken_where_it_is_asked_for(watched: None) -> None:
    answer = ask(Accept="application/openmetrics-text; version=1.0.0")
    assert answer.headers["Content-Type"].startswith("application/openmetrics-text")
    families = {one.name: one for one in openmetrics_families(answer.content.decode())}
    assert families["within_eight_hand_ins"].type == "counter"
    assert families["within_eight_plans"].type == "gauge"


def test_a_club_without_plans_and_without_a_broker_has_figures_too(
    watched: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(surroundings, "queue_lengths", lambda: None)
    monkeypatch.setattr(faults, "counted", lambda: None)
    found = read(ask().content.decode())
    assert found["within_eight_broker_up",] == 0
    assert found["within_eight_oldest_waiting_seconds",] == 0
    assert not [key for key in found if key[0] == "within_eight_errors_total"]


def test_figures_grow_old_for_nobody(watched: None, given: Any, member: Any) -> None:
    """Nothing is kept between two scrapes, so any process answers alike."""
    opened = given.a_set(closes=timezone.now() + timedelta(days=1))
    before = read(ask().content.decode())["within_eight_hand_ins_total",]
    given.a_plan(member, opened, 1, "R", checked=False, at=timezone.now())
    assert read(ask().content.decode())["within_eight_hand_ins_total",] == before + 1
