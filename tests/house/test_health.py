"""What ``/health/`` says is so: 503 when plans would not get checked, nothing for the curious.

Source: RFC 9110 section 15.6.4 (503); the bounds are our own.
"""

from __future__ import annotations

import shutil
from collections import namedtuple
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from clubsite import health
from clubsite.deploy.wall_clock import WallClock
from training.models import Heartbeat

pytestmark = pytest.mark.django_db

Usage = namedtuple("Usage", "total used free")


def ask() -> tuple[int, dict[str, Any]]:
    answer = Client().get("/health/")
    return answer.status_code, answer.json()


def beat(worker: float = 30.0, sweep: float = 5.0) -> None:
    for name, age in (("worker", worker), ("sweep", sweep)):
        Heartbeat.objects.update_or_create(
            name=name, defaults={"beaten_at": timezone.now() - timedelta(seconds=age)}
        )


@pytest.fixture
def room(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Says how many bytes the disk has left."""

    def left(free: int) -> None:
        monkeypatch.setattr(shutil, "disk_usage", lambda place: Usage(10**12, 0, free))

    left(10**11)
    return left


def test_all_is_well(room: Any) -> None:
    beat()
    status, said = ask()
    assert (status, said["status"], said["late"]) == (200, "ok", [])
    assert said["oldest_waiting_seconds"] is None
    assert (said["disk"], said["clock_stepped_seconds"]) == ("ok", 0.0)


def test_a_worker_that_was_never_heard_is_trouble(room: Any) -> None:
    status, said = ask()
    assert (status, said["status"]) == (503, "late")
    assert said["late"] == ["worker_seconds", "sweep_seconds"]
    assert said["worker_seconds"] is None


@pytest.mark.parametrize("age", [-86_346.0, health.LATE_SECONDS + 1.0])
def test_a_heartbeat_that_is_old_or_lies_ahead_is_no_sign_of_life(room: Any, age: float) -> None:
    beat(worker=age)
    status, said = ask()
    assert (status, said["late"]) == (503, ["worker_seconds"])
    assert said["worker_seconds"] == pytest.approx(age, abs=5)


def test_a_plan_that_waits_too_long_is_trouble(room: Any, given: Any, member: Any) -> None:
    beat()
    opened = given.a_set()
    waits = given.a_plan(member, opened, 1, "R", checked=False)
    waits.handed_in_at = timezone.now() - timedelta(seconds=health.LATE_SECONDS + 9)
    waits.save()
    status, said = ask()
    assert (status, said["late"]) == (503, ["oldest_waiting_seconds"])


@pytest.mark.parametrize(
    ("free", "status", "word", "disk"),
    [
        (200_000_001, 200, "ok", "ok"),
        (150_000_000, 200, "note", "low"),
        (10_000_000, 503, "full", "full"),
    ],
)
def test_room_on_the_disk(room: Any, free: int, status: int, word: str, disk: str) -> None:
    beat()
    room(free)
    got, said = ask()
    assert (got, said["status"], said["disk"]) == (status, word, disk)


def test_a_clock_that_was_set_is_said(room: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    beat()
    hands = {"wall": 0.0}
    monkeypatch.setattr(health, "CLOCK", WallClock(lambda: hands["wall"], lambda: 0.0))
    hands["wall"] = -3600.0
    status, said = ask()
    assert (status, said["status"], said["clock_stepped_seconds"]) == (200, "note", -3600.0)


def test_strangers_learn_no_version_and_nothing_of_a_club(room: Any, given: Any) -> None:
    given.a_set()
    beat()
    answer = Client().get("/health/")
    assert set(answer.json()) == {
        *("status", "oldest_waiting_seconds", "worker_seconds", "sweep_seconds"),
        *("late", "disk", "clock_stepped_seconds"),
    }
    assert "Server" not in answer.headers
