"""The atlas, the table of cross and first pair, scrambles, and a worker's start.

    python -m tests.bench.solver_tables

Medians, and ratios to the slow twins in the same run. The slow twins work on
a sample; their time for the whole is reckoned from it.
"""

from __future__ import annotations

import itertools
import os
import random
import subprocess
import sys
import time
from pathlib import Path

import numpy as np

from solverworker.cube.chance import Stream, random_cube
from solverworker.cube.cross import STATE_COUNT, unrank
from solverworker.cube.turns import write_turns
from solverworker.search import pair
from solverworker.search.cross import shortest_solutions
from solverworker.search.scramble import turns_to
from solverworker.tablefile import path_of, read
from solverworker.techniques import used
from solverworker.techniques.atlas_maker import atlas, make_table
from tests.bench.timing import median_seconds, show
from tests.reference import cross_graph, pair_search, slow_sequence, slow_techniques
from tests.reference.numbered_cube import follow
from tests.solverworker.test_distances import reference_state

START = (
    "import django; django.setup();"
    "from solverworker import tasks;"
    "tasks.worker_start.warm_up();"
    "report = tasks.review_plan('R D', \"D' R'\", colours=['yellow']);"
    "assert report.excess == 0"
)


def atlas_rows() -> list[tuple[str, str]]:
    """Measure the atlas beside the plain forms and the reference."""
    own = median_seconds(make_table, 5)
    sample = random.Random(1).sample(range(STATE_COUNT), 150)
    states = [unrank(number) for number in sample]
    cross_graph.distances()
    slow_sequence.needs()

    def plain() -> None:
        for state in states:
            for turns in shortest_solutions(state):
                used(state, turns)

    def reference() -> None:
        for state in states[:30]:
            seen = reference_state(state)
            for names in cross_graph.shortest(seen):
                slow_techniques.techniques(seen, list(names))

    plainly = median_seconds(plain, 1) / len(states) * STATE_COUNT
    slowly = median_seconds(reference, 1) / 30 * STATE_COUNT
    return [
        ("atlas with techniques", f"{own:.2f} s"),
        ("  plain forms of the techniques", f"{plainly:.0f} s ({plainly / own:.0f} ×)"),
        ("  the reference, from stickers", f"{slowly:.0f} s ({slowly / own:.0f} ×)"),
    ]


def pair_rows() -> list[tuple[str, str]]:
    """Measure the table of cross and pair beside meeting in the middle."""
    own = median_seconds(pair.make_table, 3)
    pair.table()
    mapped = median_seconds(lambda: read(pair.NAME, pair.version()), 5)
    size = path_of(pair.NAME, pair.version()).stat().st_size
    source = random.Random(2)
    turns = [[source.randrange(18) for _ in range(30)] for _ in range(300)]
    numbers = [pair.after(one) for one in turns]
    table = pair.table()
    looked_up = median_seconds(lambda: [table.distance(n) for n in numbers], 5) / len(numbers)
    listed = median_seconds(lambda: [table.solutions(n) for n in numbers], 3) / len(numbers)
    states = [pair_search.state_after(follow(write_turns(one))) for one in turns]
    pair_search.ball()
    began = time.perf_counter()
    found = [pair_search.distance(state) for state in states]
    slow = (time.perf_counter() - began) / len(states)
    assert found == [table.distance(number) for number in numbers]
    return [
        ("cross and pair, table made", f"{own:.2f} s"),
        ("  on disk", f"{size / 1e6:.1f} MB"),
        ("  mapped, checksum looked at", f"{mapped * 1e3:.0f} ms"),
        ("  distance of a state", f"{looked_up * 1e6:.2f} µs"),
        ("  all its shortest solutions, mean", f"{listed * 1e6:.0f} µs"),
        (
            "  distance by meeting in the middle (300 states, all equal)",
            f"{slow * 1e3:.1f} ms ({slow / looked_up:,.0f} ×)",
        ),
    ]


def scramble_rows() -> list[tuple[str, str]]:
    """Measure scrambles: how many a second, how long."""
    source = Stream("bench")
    cubes = [random_cube(source) for _ in range(1000)]
    turns_to(cubes[0])
    lengths: list[int] = []
    times: list[float] = []
    drawn = median_seconds(lambda: random_cube(source), 200)
    for cube in cubes:
        began = time.perf_counter()
        lengths.append(len(turns_to(cube)))
        times.append(time.perf_counter() - began)
    rate = 1 / (float(np.mean(times)) + drawn)
    return [
        ("scrambles a second, one process", f"{rate:.0f}"),
        (
            "  median and greatest time",
            f"{np.median(times) * 1e3:.1f} ms, {max(times) * 1e3:.0f} ms",
        ),
        ("  face turns: mean, most", f"{np.mean(lengths):.2f}, {max(lengths)}"),
    ]


def start_rows() -> list[tuple[str, str]]:
    """Measure a worker's start, and what a second worker adds to memory."""
    environment = {**os.environ, "DJANGO_SETTINGS_MODULE": "clubsite.settings.test"}

    def start() -> None:
        subprocess.run([sys.executable, "-c", START], env=environment, check=True)

    start()
    own = median_seconds(start, 5)
    wait = START + ";print('ready', flush=True);import sys;sys.stdin.read()"
    wait = wait.replace("assert report", "pair_sum = tasks_sum(); assert report")
    touch = (
        "from solverworker.search.pair import table;"
        "from solverworker.search.phase_tables import phase_tables;"
        "tasks_sum = lambda: int(table().packed.sum()) + int(phase_tables()['twist_flip'].sum());"
    )
    workers = [
        subprocess.Popen(
            [sys.executable, "-c", touch + wait],
            env=environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(2)
    ]
    try:
        for worker in workers:
            assert worker.stdout is not None
            worker.stdout.readline()
        held = memory(workers[1].pid)
    finally:
        for worker in workers:
            worker.communicate(input="", timeout=60)
    return [
        ("worker's start to its first verdict, caches present", f"{own:.2f} s"),
        ("memory of a second worker: resident", f"{held['Rss']:.0f} MB"),
        ("  of it shared with the first (tables counted once)", f"{held['Shared']:.0f} MB"),
        ("  its own", f"{held['Private']:.0f} MB"),
    ]


def memory(process: int) -> dict[str, float]:
    """Return a process's memory in MB: resident, shared with others, its own."""
    found: dict[str, float] = {}
    for line in Path(f"/proc/{process}/smaps_rollup").read_text("utf-8").splitlines()[1:]:
        name, size = line.split(":")
        found[name] = float(size.split()[0]) / 1024
    return {
        "Rss": found["Rss"],
        "Shared": found["Shared_Clean"] + found["Shared_Dirty"],
        "Private": found["Private_Clean"] + found["Private_Dirty"],
    }


def main() -> None:
    """Measure and print."""
    atlas()
    parts = (atlas_rows, pair_rows, scramble_rows, start_rows)
    show(list(itertools.chain.from_iterable(part() for part in parts)))


if __name__ == "__main__":
    main()
