"""Which program is started again, judged from what was observed."""

from __future__ import annotations

import http.server
import json
import socket
import threading
from collections.abc import Iterator
from typing import Any

import pytest

from clubsite.deploy.healthcheck import works
from clubsite.deploy.watcher import (
    BROKER_FAILURES,
    STALE_SECONDS,
    WEB_FAILURES,
    Health,
    Judge,
    heartbeat_age,
)

LONG = {"broker": 900.0, "web": 900.0, "worker": 900.0, "clock": 900.0}
WELL = {"status": "ok", "worker_seconds": 30.0, "sweep_seconds": 5.0}
LATE = {"status": "late", "worker_seconds": STALE_SECONDS + 40, "sweep_seconds": STALE_SECONDS + 1}


def look(judge: Judge, **seen: Any) -> list[str]:
    observed = {"health": WELL, "broker_answers": True, "uptimes": LONG, "now": 0.0, **seen}
    return [finding.program for finding in judge.judge(**observed)]


def test_all_is_well() -> None:
    judge = Judge()
    assert all(look(judge) == [] for _ in range(10))


def test_one_lost_answer_is_no_reason() -> None:
    judge = Judge()
    for _ in range(5):
        assert look(judge, health=None, broker_answers=False) == []
        assert look(judge) == []


def test_a_web_process_without_answers() -> None:
    judge = Judge()
    found = [look(judge, health=None) for _ in range(WEB_FAILURES)]
    assert found == [[]] * (WEB_FAILURES - 1) + [["web"]]


def test_a_broker_without_answers() -> None:
    judge = Judge()
    found = [look(judge, broker_answers=False) for _ in range(BROKER_FAILURES)]
    assert found == [[]] * (BROKER_FAILURES - 1) + [["broker"]]


def test_an_old_heartbeat_restarts_worker_and_clock_and_then_gives_them_time() -> None:
    judge = Judge()
    assert look(judge, health=LATE, now=1000.0) == ["worker", "clock"]
    assert look(judge, health=LATE, now=1000.0 + STALE_SECONDS / 2) == []
    assert look(judge, health=LATE, now=1001.0 + STALE_SECONDS) == ["worker", "clock"]


def test_a_worker_that_has_just_started_may_be_late() -> None:
    young = {**LONG, "worker": 20.0}
    assert look(Judge(), health=LATE, uptimes=young) == []


def test_a_heart_that_never_beat_counts_from_the_start() -> None:
    silent = {"status": "ok", "worker_seconds": None, "sweep_seconds": None}
    assert look(Judge(), health=silent, uptimes={**LONG, "worker": STALE_SECONDS - 1}) == []
    assert look(Judge(), health=silent) == ["worker", "clock"]


def test_the_latest_heartbeat_counts() -> None:
    assert heartbeat_age({"worker_seconds": 50.0, "sweep_seconds": 4.0}) == 4.0
    assert heartbeat_age({"worker_seconds": 50.0, "sweep_seconds": None}) == 50.0
    assert heartbeat_age(None) is None


@pytest.mark.parametrize(
    ("what", "health", "expected"),
    [
        ("database", WELL, True),
        ("database", LATE, True),
        ("database", {"status": "down"}, False),
        ("database", None, False),
        ("worker", WELL, True),
        ("worker", LATE, False),
        ("clock", LATE, False),
        ("clock", {"status": "ok", "sweep_seconds": None}, False),
    ],
)
def test_what_a_containers_check_answers(
    what: str, health: dict[str, Any] | None, expected: bool
) -> None:
    assert works(what, health) is expected


class _Answer(http.server.BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        body = json.dumps({"path": self.path, "host": self.headers["Host"]}).encode()
        self.send_response(503)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *args: Any) -> None:
        """Say nothing."""


@pytest.fixture
def port() -> Iterator[int]:
    with http.server.HTTPServer(("127.0.0.1", 0), _Answer) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield server.server_address[1]
        server.shutdown()
        thread.join()


def test_health_is_read_whatever_its_status(port: int) -> None:
    found = Health("0.0.0.0", port).ask()
    assert found == {"path": "/health/", "host": "localhost"}


def test_a_site_that_accepts_and_says_nothing_is_no_answer() -> None:
    with socket.create_server(("127.0.0.1", 0)) as silent:
        assert Health("127.0.0.1", silent.getsockname()[1]).ask(timeout=0.1) is None
