"""Finds the program that lives but does not answer.

The web process is asked for ``/health/``, the broker for a PING. Whether worker
and clock work is read from the heartbeats that health reports: a task of the
worker writes one whenever the clock rings, so an old heartbeat means that the
chain from clock over broker to worker is cut somewhere.
"""

from __future__ import annotations

import http.client
import json
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from clubsite.deploy import embedded_broker
from clubsite.deploy.network import EVERYWHERE
from clubsite.deploy.wall_clock import SLACK_SECONDS, WallClock, in_words

EVERY_SECONDS = 5.0
WEB_FAILURES = 4
BROKER_FAILURES = 3
STALE_SECONDS = 150.0
"""Heartbeats come every ten seconds, but two slow tasks of two minutes may stand before them."""

BY_THIS_CLOCK = "Sets open and close by it: see that it is right."


@dataclass(frozen=True, slots=True)
class Finding:
    """A program to start again, and why."""

    program: str
    why: str


class Health:
    """Asks a site how it is.

    Args:
        host: where it listens.
        port: its port.
        name: the host name to ask for, one of those allowed.
    """

    def __init__(self, host: str, port: int, name: str = "localhost") -> None:
        self._host = EVERYWHERE.get(host, host)
        self._port = port
        self._name = name

    def ask(self, timeout: float = 5.0) -> dict[str, Any] | None:
        """What ``/health/`` says (whatever its status), or None when nothing sensible comes."""
        connection = http.client.HTTPConnection(self._host, self._port, timeout=timeout)
        try:
            connection.request("GET", "/health/", headers={"Host": self._name})
            found = json.loads(connection.getresponse().read(100_000))
        except (OSError, http.client.HTTPException, ValueError):
            return None
        finally:
            connection.close()
        return found if isinstance(found, dict) else None


class Judge:
    """Decides from observations which program has to be started again. Pure: time is given."""

    def __init__(self) -> None:
        self._web_failures = 0
        self._broker_failures = 0
        self._given_until = float("-inf")
        self._ahead_since: float | None = None

    def judge(
        self,
        *,
        health: dict[str, Any] | None,
        broker_answers: bool,
        uptimes: dict[str, float],
        now: float,
    ) -> list[Finding]:
        """Findings of one round.

        Args:
            health: what ``/health/`` said, or None.
            broker_answers: whether the broker answered (True when it is not ours).
            uptimes: seconds that each program has been running; 0 when it is down.
            now: a clock in seconds that only goes forward.
        """
        findings = []
        self._broker_failures = 0 if broker_answers else self._broker_failures + 1
        if self._broker_failures >= BROKER_FAILURES and uptimes.get("broker"):
            self._broker_failures = 0
            findings.append(Finding("broker", "does not answer"))
        self._web_failures = 0 if health is not None else self._web_failures + 1
        if self._web_failures >= WEB_FAILURES and uptimes.get("web", 0.0) > 30.0:
            self._web_failures = 0
            findings.append(Finding("web", "does not answer"))
        age = self._age(heartbeat_age(health), now)
        running = min(uptimes.get("worker", 0.0), uptimes.get("clock", 0.0))
        # A heart that has never beaten is as old as the program itself.
        stale = health is not None and (running if age is None else age) > STALE_SECONDS
        if stale and running > STALE_SECONDS and now > self._given_until:
            self._given_until = now + STALE_SECONDS
            findings += [
                Finding("worker", "has shown no sign of life for over two minutes"),
                Finding("clock", "may have stopped"),
            ]
        return findings

    def _age(self, told: float | None, now: float) -> float | None:
        """A heartbeat that lies ahead was made before the clock was set back: it tells nothing,
        so its age is counted from when it was first seen."""
        if told is None or told >= -SLACK_SECONDS:
            self._ahead_since = None
            return told
        if self._ahead_since is None:
            self._ahead_since = now
        return now - self._ahead_since


def heartbeat_age(health: dict[str, Any] | None) -> float | None:
    """Seconds since the latest heartbeat of any kind, as health tells; None when none beat."""
    ages = [(health or {}).get(name) for name in ("worker_seconds", "sweep_seconds")]
    known = [age for age in ages if isinstance(age, int | float)]
    return float(min(known)) if known else None


class Watcher:
    """Looks every few seconds in a thread of its own and keeps what it found for the loop."""

    def __init__(
        self,
        health: Health,
        socket_path: Path | None,
        uptimes: Callable[[], dict[str, float]],
        clock: WallClock | None = None,
    ) -> None:
        self._health = health
        self._socket = socket_path
        self._uptimes = uptimes
        self._judge = Judge()
        self._clock = clock or WallClock()
        self._findings: list[Finding] = []
        self._notices: list[str] = []
        self._lock = threading.Lock()
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._look, name="watcher", daemon=True)

    def start(self) -> None:
        """Begin to look."""
        self._thread.start()

    def end(self) -> None:
        """Look no more."""
        self._ended.set()

    def findings(self) -> list[Finding]:
        """What was found since the last call."""
        with self._lock:
            found, self._findings = self._findings, []
        return found

    def notices(self) -> list[str]:
        """What the operator should know, since the last call."""
        with self._lock:
            found, self._notices = self._notices, []
        return found

    def look_at_the_clock(self) -> None:
        """Note when the time of day was set."""
        if step := self._clock.newly_stepped():
            with self._lock:
                self._notices.append(f"{in_words(step)} {BY_THIS_CLOCK}")

    def _look(self) -> None:
        while not self._ended.wait(EVERY_SECONDS):
            self.look_at_the_clock()
            broker = self._socket is None or embedded_broker.answers(self._socket)
            found = self._judge.judge(
                health=self._health.ask(),
                broker_answers=broker,
                uptimes=self._uptimes(),
                now=time.monotonic(),
            )
            with self._lock:
                self._findings += found
