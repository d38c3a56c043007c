"""How many plans a second come in, beside a bare view that knows a token and writes one row.

    python -m tests.bench.hand_in_rate [ROUNDS [SECONDS]]

One run, one machine, the server as shipped for both, 16 connections: the bare view and the
hand-in take turns, and the ratio of each turn is taken; told are the medians, and
the processor time that each took the web process, which a busy machine changes least. Once with the
worker paused and once with it beside: then it checks what comes in, and is ended for the bare
view, which gives it nothing to do. SQLite with the embedded broker, then PostgreSQL with a broker
on TCP.
"""

from __future__ import annotations

import contextlib
import os
import statistics
import sys
from collections.abc import Iterator
from pathlib import Path

from clubsite.deploy import network, programs
from tests.bench import crowd
from tests.bench.hand_in_to_verdict import embedded, full
from tests.bench.timing import show
from tests.stack.servers import wait_for
from tests.stack.site import Site

MEMBERS, SCRAMBLES = 500, 200
BARE = "tests.bench.bare_site"


def start_worker(site: Site) -> None:
    """Start the worker and wait until it is at work."""
    before = site.drive("state")["verdicts"]
    site.start("worker")
    wait_for(lambda: site.drive("state")["verdicts"] > before, "a verdict")


def start_bare(site: Site) -> int:
    """Start the bare view's own web process on the site's database; returns its port."""
    listener = network.listen("127.0.0.1", 0, "bench")
    program = programs.web(listener.fileno())
    environ = {**site.environ, "DJANGO_SETTINGS_MODULE": BARE}
    named = programs.Program("bare", program.command, 3, 5.0, program.keep_open)
    site.start_program(named, environ)
    port = int(listener.getsockname()[1])
    listener.close()
    return port


def processor(site: Site, name: str) -> float:
    """Seconds of processor that a program has taken so far."""
    words = Path(f"/proc/{site.processes[name].pid}/stat").read_text().rpartition(")")[2].split()
    return (int(words[11]) + int(words[12])) / os.sysconf("SC_CLK_TCK")


def rate(port: int, requests: Iterator[bytes], seconds: float) -> tuple[float, int]:
    """Requests stored a second, and how many; every one of them has to be."""
    answers = crowd.as_many_as_go(port, requests, seconds)
    refused = [one.status for one in answers if one.status != 201]
    assert not refused, refused[:5]
    assert answers, "nothing was sent"
    span = max(one.there for one in answers) - min(one.due for one in answers)
    return len(answers) / span, len(answers)


def turns(site: Site, rounds: int, seconds: float) -> list[tuple[str, str]]:
    """The rates of the hand-in and the bare view, in turns."""
    site.prepare()
    made = crowd.filled(site, MEMBERS, SCRAMBLES)
    site.start("web", "clock")
    bare = start_bare(site)
    site.wait_until_open()
    plans, rows = crowd.hand_ins(made, SCRAMBLES), crowd.bare_rows(made)
    told = []
    for name, beside in (("worker paused", False), ("worker beside", True)):
        found, spent = [], [0.0, 0.0]
        rate(bare, rows, 1.0)
        rate(site.port, plans, 1.0)
        for _ in range(rounds):
            began = processor(site, "bare")
            least, many = rate(bare, rows, seconds)
            spent[0] += (processor(site, "bare") - began) / many
            if beside:
                start_worker(site)
            began = processor(site, "web")
            ours, many = rate(site.port, plans, seconds)
            spent[1] += (processor(site, "web") - began) / many
            if beside:
                # Not stopped by a signal: it may be holding the database's lock.
                site.kill("worker")
            found.append((ours / least, ours, least))
        ratio, ours, least = (statistics.median(column) for column in zip(*found, strict=True))
        spans = f"{min(found)[0]:.0%} to {max(found)[0]:.0%}"
        told.append((name, f"{ours:.0f} of {least:.0f} a second, {ratio:.0%} ({spans})"))
        one = " against ".join(f"{1000 * each / rounds:.2f}" for each in (spent[1], spent[0]))
        told.append((f"{name}, processor", f"{one} ms each, {spent[0] / spent[1]:.0%}"))
    return told


def main(arguments: list[str]) -> None:
    """Measure and print."""
    rounds = int(arguments[0]) if arguments else 7
    seconds = float(arguments[1]) if arguments[1:] else 4.0
    for name, stack in (("SQLite", embedded), ("PostgreSQL", full)):
        with contextlib.redirect_stdout(sys.stderr), stack() as site:
            found = turns(site, rounds, seconds)
        show([(f"{name}, {what}", figure) for what, figure in found])


if __name__ == "__main__":
    main(sys.argv[1:])
