"""How long from handing in a plan to the verdict, through real processes.

    python -m tests.bench.hand_in_to_verdict

Twice: SQLite with the embedded broker, as `serve` runs it, and PostgreSQL with a
broker on TCP, as in docker-compose.yml. *There* is when the API first shows the
verdict (asked every 40 ms); *seen* is when the member's page would, which waits
250 ms before each look.
"""

from __future__ import annotations

import contextlib
import statistics
import time
from collections.abc import Iterator

from tests.bench.timing import show
from tests.stack.club import MEMBERS
from tests.stack.servers import Postgres, Valkey, free_port, wait_for
from tests.stack.site import SLUG, Site, short_folder

PLANS = 36
API_LOOKS, PAGE_LOOKS = 0.04, 0.25


@contextlib.contextmanager
def embedded() -> Iterator[Site]:
    """SQLite and a broker on a unix socket."""
    with short_folder() as data, short_folder() as run:
        broker = Valkey(run)
        site = Site(data, database_url="", broker_url=broker.url)
        try:
            yield site
        finally:
            site.close()
            broker.kill()


@contextlib.contextmanager
def full() -> Iterator[Site]:
    """PostgreSQL and a broker on TCP."""
    server = Postgres()
    with server.admin() as admin:
        admin.execute("CREATE DATABASE bench")
    with short_folder() as data, short_folder() as run:
        broker = Valkey(run, port=free_port())
        site = Site(data, database_url=server.url("bench"), broker_url=broker.url)
        try:
            yield site
        finally:
            site.close()
            broker.kill()
            server.stop()


def times(site: Site, *, as_the_page: bool) -> list[float]:
    """Seconds from sending each plan to a look that finds it no longer waiting."""
    site.prepare()
    set_id = site.drive("make", str(PLANS))["set_id"]
    site.start("web", "worker", "clock")
    site.wait_until_open()
    wait_for(lambda: site.ask("/health/")[1].get("worker_seconds") is not None, "a worker")
    tokens = [site.sign_in(name) for name in MEMBERS]
    found = []
    for number in range(1, PLANS + 1):
        token = tokens[number % len(tokens)]
        path = f"/api/v1/clubs/{SLUG}/sets/{set_id}/scrambles/{number}/plan/"
        began = time.perf_counter()
        status, _ = site.hand_in(token, set_id, number, "R' D' R' D'")
        assert status == 201
        while True:
            time.sleep(PAGE_LOOKS if as_the_page else API_LOOKS)
            status, plan = site.ask(path, token=token)
            assert status == 200, plan
            if plan["state"] != "waiting":
                break
        found.append(time.perf_counter() - began)
        # The API lets a person ask 240 times a minute.
        time.sleep(0.3)
    return sorted(found)


def main() -> None:
    """Measure and print."""
    rows = []
    for name, stack in (("SQLite, embedded broker", embedded), ("PostgreSQL, TCP broker", full)):
        for what in ("there", "seen"):
            with stack() as site:
                found = times(site, as_the_page=what == "seen")
            middle = statistics.median(found)
            late = found[int(len(found) * 0.95)]
            rows.append((f"{name}, {what}", f"median {middle:.3f} s, 95 % within {late:.3f} s"))
    show(rows)


if __name__ == "__main__":
    main()
