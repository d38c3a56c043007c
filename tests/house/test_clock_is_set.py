"""Somebody sets the machine's clock: work goes on, and it is said.

Source: common practice; the time of day is taken from ``time-machine``, rounds from a clock of
the test's own.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import time_machine
from celery import Celery
from celery.beat import Service

from clubsite import ticking
from clubsite.celery import app
from clubsite.deploy.wall_clock import WallClock, in_words
from clubsite.deploy.watcher import STALE_SECONDS, Health, Judge, Watcher
from clubsite.ticking import Ticking

DAY = 86_400.0
NOON = datetime(2026, 11, 26, 12, tzinfo=UTC)
LONG = dict.fromkeys(("broker", "web", "worker", "clock"), 900.0)


class Rounds:
    """A scheduler whose bell is only counted, with a clock that the test moves on."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.now = 1000.0
        self.rung: list[str] = []
        monkeypatch.setattr(ticking, "monotonic", lambda: self.now)
        made = Celery("a test", set_as_current=False, broker="memory://")
        made.conf.update(beat_schedule=app.conf.beat_schedule, task_ignore_result=True)
        self.scheduler = Ticking(app=made)
        monkeypatch.setattr(
            self.scheduler, "apply_entry", lambda entry, producer: self.rung.append(entry.name)
        )
        monkeypatch.setattr(Ticking, "producer", None)

    def go_on(self, seconds: float) -> list[str]:
        """Let so much time pass, resting as the scheduler says; returns what was rung for."""
        self.rung.clear()
        end = self.now + seconds
        while self.now < end:
            rest = self.scheduler.tick()
            self.now += min(max(rest, 0.001), end - self.now)
        return sorted(self.rung)


@pytest.mark.parametrize("step", [-DAY, DAY, -10 * 365 * DAY])
def test_rounds_go_on_when_the_clock_is_set(step: float, monkeypatch: pytest.MonkeyPatch) -> None:
    with time_machine.travel(NOON, tick=True) as traveller:
        rounds = Rounds(monkeypatch)
        assert rounds.go_on(1.0) == ["sweep", "tick"]
        traveller.move_to(NOON + timedelta(seconds=step))
        assert rounds.go_on(60.0) == ["sweep"] * 6 + ["tick"]


def test_the_clocks_program_uses_it_and_keeps_no_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    made = Service(app, scheduler_cls=app.Beat(quiet=True).scheduler_cls).get_scheduler()
    assert type(made) is Ticking
    assert set(made.schedule) == {"tick", "sweep"}
    assert list(tmp_path.iterdir()) == []


def clocks() -> tuple[WallClock, dict[str, float]]:
    hands = {"wall": 5000.0, "steady": 10.0}
    return WallClock(lambda: hands["wall"], lambda: hands["steady"]), hands


def test_a_step_is_told_from_time_that_passes() -> None:
    clock, hands = clocks()
    hands["wall"] += 3600
    hands["steady"] += 3601
    assert clock.stepped() == 0.0
    hands["wall"] -= DAY
    assert clock.stepped() == pytest.approx(-DAY, abs=2)
    assert clock.newly_stepped() == pytest.approx(-DAY, abs=2)
    assert clock.newly_stepped() == 0.0
    hands["wall"] += DAY
    assert clock.newly_stepped() == pytest.approx(DAY, abs=2)


@pytest.mark.parametrize(
    ("step", "words"),
    [
        (-DAY, "The clock of this machine was set back by 24 h 0 min."),
        (90.0, "The clock of this machine was set forward by 0 h 1 min."),
        (-7.2, "The clock of this machine was set back by 7 s."),
    ],
)
def test_what_an_operator_reads(step: float, words: str) -> None:
    assert in_words(step) == words


def test_the_watcher_says_it_once() -> None:
    clock, hands = clocks()
    watcher = Watcher(Health("127.0.0.1", 1), None, dict, clock)
    watcher.look_at_the_clock()
    assert watcher.notices() == []
    hands["wall"] -= DAY
    for _ in range(3):
        watcher.look_at_the_clock()
    said = watcher.notices()
    assert len(said) == 1
    assert said[0].startswith("The clock of this machine was set back by 24 h 0 min. Sets open")
    assert watcher.notices() == []


def judged(judge: Judge, ages: float, now: float) -> list[str]:
    health = {"worker_seconds": ages, "sweep_seconds": ages}
    found = judge.judge(health=health, broker_answers=True, uptimes=LONG, now=now)
    return [finding.program for finding in found]


def test_a_heartbeat_that_lies_ahead_is_no_sign_of_life_for_ever() -> None:
    judge = Judge()
    assert judged(judge, 4.0, 0.0) == []
    # Set back by a day: the old heartbeat lies ahead, and time is given for the next.
    assert judged(judge, -DAY, 5.0) == []
    assert judged(judge, -DAY + STALE_SECONDS, 5.0 + STALE_SECONDS) == []
    assert judged(judge, -DAY + STALE_SECONDS, 6.0 + STALE_SECONDS) == ["worker", "clock"]


def test_a_heartbeat_after_the_step_is_one() -> None:
    judge = Judge()
    assert judged(judge, -DAY, 0.0) == []
    assert judged(judge, 3.0, 10.0) == []
    assert judged(judge, -DAY, 10.0 + STALE_SECONDS) == []
