"""A plan's whole way through real processes: hand-in, worker, verdict, table."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.stack.servers import Valkey, wait_for
from tests.stack.site import Site, children


def hands_in_and_reads_the_table(site: Site) -> None:
    """Two members plan; both verdicts and the table are as worked out by hand."""
    set_id = site.drive("make")["set_id"]
    site.start("web", "worker")
    site.wait_until_open()
    ines, bashir = site.sign_in("ines"), site.sign_in("bashir")

    # Scramble 1 is `R D`: D' R' solves it in two, D2 D R' in three.
    status, plan = site.hand_in(ines, set_id, 1, "D' R'")
    assert (status, plan["state"]) in {(201, "waiting"), (201, "checked")}
    assert site.hand_in(bashir, set_id, 1, "D2 D R'")[0] == 201
    first, second = site.verdict(ines, set_id, 1), site.verdict(bashir, set_id, 1)
    assert (first["state"], first["solved"], first["moves"]) == ("checked", True, 2)
    assert (first["report"]["best"], first["report"]["excess"]) == (2, 0)
    assert (second["solved"], second["moves"], second["report"]["excess"]) == (True, 3, 1)

    # Scramble 2 is `D R`, scramble 3 `R F`; the table opens when all own plans are in.
    for number, plan_text in ((2, "R' D'"), (3, "F' R'")):
        assert site.hand_in(ines, set_id, number, plan_text)[0] == 201
    for number in (2, 3):
        assert site.verdict(ines, set_id, number)["report"]["excess"] == 0
    rows = {row["member"]: row for row in site.table(ines, set_id)["rows"]}
    assert rows["Ines"]["score"]["points"] == 0
    assert rows["Ines"]["rank"] == 1
    assert rows["Ines"]["score"]["exact"] == 3


def test_on_postgresql_and_redis(folder: Path, postgres_url: str, broker: Valkey) -> None:
    named = os.environ.get("REDIS_URL", "")
    site = Site(folder, database_url=postgres_url, broker_url=named or broker.url)
    try:
        hands_in_and_reads_the_table(site)
    finally:
        site.close()


def test_on_sqlite_and_the_embedded_broker(small_site: Site) -> None:
    hands_in_and_reads_the_table(small_site)


def test_a_worker_that_was_away_issues_what_is_due(small_site: Site) -> None:
    """No clock runs: the worker itself catches up when it starts."""
    small_site.drive("make")
    assert small_site.drive("state")["sets"] == 1
    small_site.start("worker")
    # Today's set is there; tomorrow's is missing, and yesterday's has closed or is no set any more.
    wait_for(lambda: small_site.drive("state")["sets"] >= 2, "the set of tomorrow")


def test_only_the_worker_loads_compiled_code(small_site: Site) -> None:
    """Neither the web process nor the clock maps LLVM (Linux tells in /proc/pid/maps)."""
    maps = Path("/proc/self/maps")
    if not maps.exists():
        pytest.skip("this system does not tell what a process has mapped")
    small_site.start("web", "clock")
    small_site.wait_until_open()
    log = small_site.logs["clock"]
    wait_for(lambda: "is starting" in log.read_text(), "the clock runs")
    for name in ("web", "clock"):
        pid = small_site.processes[name].pid
        mapped = "".join(Path(f"/proc/{p}/maps").read_text() for p in (pid, *children(pid)))
        assert "python" in mapped
        assert "llvmlite" not in mapped
