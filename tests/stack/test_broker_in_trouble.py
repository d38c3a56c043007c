"""The broker is only a bell: dead, frozen or out of reach, a hand-in is answered and waits."""

from __future__ import annotations

import os
import signal
import socket
import sqlite3
from collections.abc import Iterator
from contextlib import closing

import pytest
import redis

from tests.stack.servers import Valkey, wait_for
from tests.stack.site import Site, children

PATIENCE = 10.0
"""Seconds a member might wait. Unbounded, publishing would block for ever."""

PLANS = {1: "D' R'", 2: "R' D'", 3: "F' R'"}
"""Shortest solutions of the club's three scrambles."""


@pytest.fixture
def silent_port() -> Iterator[int]:
    """A port that takes no further connection: its queue is full, as behind a cut cable."""
    with socket.socket() as server:
        server.bind(("127.0.0.1", 0))
        server.listen(0)
        port = server.getsockname()[1]
        waiting = []
        while True:
            client = socket.socket()
            waiting.append(client)
            client.settimeout(0.3)
            try:
                client.connect(("127.0.0.1", port))
            except TimeoutError:
                break
        yield port
        for client in waiting:
            client.close()


def start_web_anew(site: Site) -> None:
    """A web process that has not yet learnt to leave the bell alone."""
    if "web" in site.processes:
        site.kill("web")
    site.start("web")
    site.wait_until_open()


def test_a_broker_dead_frozen_or_out_of_reach(
    small_site: Site, broker: Valkey, silent_port: int
) -> None:
    site = small_site
    set_id = site.drive("make")["set_id"]
    start_web_anew(site)
    ines, bashir = site.sign_in("ines"), site.sign_in("bashir")

    def is_answered_and_waits(number: int) -> None:
        """Once with the bell tried, once with the bell left alone after its failure."""
        for token in (ines, bashir):
            answer = site.hand_in(token, set_id, number, PLANS[number], timeout=PATIENCE)
            assert (answer[0], answer[1]["state"]) == (201, "waiting")

    broker.kill()
    is_answered_and_waits(1)

    broker.start()
    broker.send(signal.SIGSTOP)
    start_web_anew(site)
    is_answered_and_waits(2)
    broker.send(signal.SIGCONT)

    site.environ["REDIS_URL"] = f"redis://127.0.0.1:{silent_port}/0"
    start_web_anew(site)
    is_answered_and_waits(3)
    assert site.drive("state")["plans"] == {"waiting": 6}

    # With the broker back, a worker that starts finds what waited too long.
    site.environ["REDIS_URL"] = broker.url
    site.drive("grow-old", "60")
    site.start("worker")
    for token in (ines, bashir):
        for number in PLANS:
            assert site.verdict(token, set_id, number)["state"] == "checked"


def test_killed_brokers_and_workers_lose_no_plan(site: Site, broker: Valkey) -> None:
    """The broker dies with every message in it, then the worker in the midst of its work."""
    site.drive("make")
    plans = site.drive("crowd", "60")["plans"]
    broker.kill()
    broker.start()
    site.drive("grow-old", "60")
    site.start("worker")

    def checked() -> int:
        return int(site.drive("state")["plans"].get("checked", 0))

    wait_for(lambda: checked() > 0, "the first verdict")
    site.kill("worker")
    site.drive("grow-old", "60")
    # The real clock and a new worker have to find the rest by themselves.
    site.start("worker", "clock")
    wait_for(lambda: checked() == len(plans), "all verdicts", 90, every=0.5)
    assert site.drive("state")["verdicts"] == len(plans)


def stop_idle(pids: list[int], site: Site) -> None:
    """Stop processes, at a moment when none of them is writing to the database."""

    def stopped() -> bool:
        for pid in pids:
            os.kill(pid, signal.SIGSTOP)
        with closing(sqlite3.connect(site.data / "club.sqlite3", timeout=0)) as database:
            try:
                database.execute("BEGIN IMMEDIATE")
            except sqlite3.OperationalError:
                for pid in pids:
                    os.kill(pid, signal.SIGCONT)
                return False
        return True

    wait_for(stopped, "nobody writes")


def test_a_live_worker_comes_back_to_a_broker_that_died(small_site: Site, broker: Valkey) -> None:
    """Also one that had a plan in hand just then, which it can no longer acknowledge."""
    set_id = small_site.drive("make")["set_id"]
    small_site.start("web", "worker", "clock")
    small_site.wait_until_open()
    token = small_site.sign_in("ines")
    assert small_site.hand_in(token, set_id, 1, PLANS[1])[0] == 201
    small_site.verdict(token, set_id, 1)

    worker, log = small_site.processes["worker"], small_site.logs["worker"]
    hands = children(worker.pid)
    stop_idle(hands, small_site)
    assert small_site.hand_in(token, set_id, 2, PLANS[2])[0] == 201
    with closing(redis.Redis(unix_socket_path=str(broker.socket_path))) as messages:
        wait_for(lambda: messages.hlen("unacked"), "a message is in the worker's hands")
    broker.kill()
    wait_for(lambda: "Connection to broker lost" in log.read_text(), "the worker notices")
    for pid in hands:
        os.kill(pid, signal.SIGCONT)
    assert small_site.hand_in(token, set_id, 3, PLANS[3], timeout=PATIENCE)[0] == 201
    broker.start()
    small_site.drive("grow-old", "60")
    for number in (2, 3):
        assert small_site.verdict(token, set_id, number)["state"] == "checked"
    assert worker.poll() is None, "another worker would have to take its place"
