"""The broker is only a bell: dead, frozen or out of reach, a hand-in is answered and waits."""

from __future__ import annotations

import signal
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from clubsite.deploy.backups import write_copy
from tests.stack.servers import Valkey, wait_for
from tests.stack.site import Site

PATIENCE = 10.0
"""Seconds a member might wait. Unbounded, publishing would block for ever."""


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


def is_answered_and_waits(site: Site) -> tuple[str, int]:
    """Hand in twice (with the bell tried, and with it left alone); both rows wait."""
    set_id = site.drive("make")["set_id"]
    site.start("web")
    site.wait_until_open()
    token = site.sign_in("ines")
    for number, plan in ((1, "D' R'"), (2, "R' D'")):
        status, answer = site.hand_in(token, set_id, number, plan, timeout=PATIENCE)
        assert (status, answer["state"]) == (201, "waiting")
    assert site.drive("state")["plans"] == {"waiting": 2}
    return token, set_id


def is_made_good(site: Site, token: str, set_id: int) -> None:
    """With the broker back, a worker that starts finds what waited too long."""
    site.drive("grow-old", "60")
    site.start("worker")
    for number in (1, 2):
        assert site.verdict(token, set_id, number)["state"] == "checked"


def test_a_dead_broker(small_site: Site, broker: Valkey) -> None:
    broker.kill()
    token, set_id = is_answered_and_waits(small_site)
    broker.start()
    is_made_good(small_site, token, set_id)


def test_a_frozen_broker(small_site: Site, broker: Valkey) -> None:
    broker.send(signal.SIGSTOP)
    token, set_id = is_answered_and_waits(small_site)
    broker.send(signal.SIGCONT)
    is_made_good(small_site, token, set_id)


def test_a_broker_out_of_reach(
    folder: Path, silent_port: int, broker: Valkey, migrated_file: Path
) -> None:
    write_copy(migrated_file, folder / "club.sqlite3")
    site = Site(folder, database_url="", broker_url=f"redis://127.0.0.1:{silent_port}/0")
    try:
        token, set_id = is_answered_and_waits(site)
        site.environ["REDIS_URL"] = broker.url
        is_made_good(site, token, set_id)
    finally:
        site.close()


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


def test_a_live_worker_comes_back_to_a_broker_that_died(small_site: Site, broker: Valkey) -> None:
    set_id = small_site.drive("make")["set_id"]
    small_site.start("web", "worker", "clock")
    small_site.wait_until_open()
    token = small_site.sign_in("ines")
    assert small_site.hand_in(token, set_id, 1, "D' R'")[0] == 201
    small_site.verdict(token, set_id, 1)
    broker.kill()
    assert small_site.hand_in(token, set_id, 2, "R' D'", timeout=PATIENCE)[0] == 201
    broker.start()
    small_site.drive("grow-old", "60")
    assert small_site.verdict(token, set_id, 2)["state"] == "checked"
