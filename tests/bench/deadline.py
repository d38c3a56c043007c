"""A deadline: a crowd hands in within one minute, with everything of a site running.

    python -m tests.bench.deadline [MEMBERS [SCRAMBLES [SECONDS]]]

2,000 members hand in three plans each, evenly over 60 s, over 64 connections; a hand-in is timed
from when it was due, so a queue before the server counts. Told are the slowest, what became of
every plan and how long after the last one the last verdict stood. PostgreSQL with a broker on TCP,
then SQLite with the embedded broker.
"""

from __future__ import annotations

import contextlib
import sys
import time
from collections.abc import Sequence

from tests.bench import crowd
from tests.bench.crowd import Answer
from tests.bench.hand_in_to_verdict import embedded, full
from tests.bench.timing import show
from tests.stack.servers import wait_for
from tests.stack.site import Site

PATIENCE = 600.0


def within(answers: Sequence[Answer], share: float) -> float:
    """The time within which a share of the answers was there, in seconds."""
    took = sorted(one.took for one in answers)
    return took[min(len(took) - 1, int(len(took) * share))]


def run(site: Site, members: int, scrambles: int, seconds: float) -> list[tuple[str, str]]:
    """One deadline on one site."""
    site.prepare()
    made = crowd.filled(site, members, scrambles)
    site.start("web", "worker", "clock")
    site.wait_until_open()
    wait_for(lambda: site.ask("/health/")[1].get("worker_seconds") is not None, "a worker")
    count = members * scrambles
    answers = crowd.spread(site.port, crowd.hand_ins(made, scrambles), count, seconds)
    ended = time.perf_counter()
    accepted = sum(one.status == 201 for one in answers)

    def all_checked() -> bool:
        return bool(site.drive("state")["plans"].get("checked", 0) >= accepted)

    with contextlib.suppress(AssertionError):
        wait_for(all_checked, "the last verdict", PATIENCE, every=1.0)
    after = time.perf_counter() - ended
    state = site.drive("state")
    return [
        ("accepted (201)", f"{accepted:,} of {count:,}"),
        ("rows and verdicts at the end", f"{state['plans']}, {state['verdicts']:,}"),
        ("hand-in, half within", f"{1000 * within(answers, 0.5):.0f} ms"),
        ("hand-in, 99 % within", f"{1000 * within(answers, 0.99):.0f} ms"),
        ("hand-in, slowest", f"{1000 * within(answers, 1.0):.0f} ms"),
        ("last verdict after the last hand-in", f"{after:.0f} s"),
    ]


def main(arguments: list[str]) -> None:
    """Measure and print."""
    members, scrambles, seconds = [*map(int, arguments), *(2000, 3, 60)[len(arguments) :]]
    told = []
    for name, stack in (("PostgreSQL", full), ("SQLite", embedded)):
        with contextlib.redirect_stdout(sys.stderr), stack() as site:
            rows = run(site, members, scrambles, seconds)
        told += [(f"{name}: {what}", figure) for what, figure in rows]
    show(told)


if __name__ == "__main__":
    main(sys.argv[1:])
