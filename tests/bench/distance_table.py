"""How long the table of 190,080 distances takes, beside SciPy's graph search.

python -m tests.bench.distance_table
"""

from __future__ import annotations

import subprocess
import sys

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import shortest_path

from solverworker.cube.cross import STATE_COUNT, unrank
from solverworker.search.cross import CrossTables, distance_table, shortest_solutions
from tests.bench.timing import median_seconds, show
from tests.reference import cross_graph


def main() -> None:
    """Measure and print."""
    own = median_seconds(CrossTables, 31)
    size = len(cross_graph.states())
    goals = np.concatenate(list(cross_graph.neighbours().values()))
    starts = np.tile(np.arange(size), 18)
    graph = csr_array((np.ones(len(goals), dtype=np.int8), (starts, goals)), shape=(size, size))
    home = cross_graph.index_of_state()[cross_graph.HOMES]
    scipy = median_seconds(
        lambda: shortest_path(graph, method="D", unweighted=True, indices=home), 5
    )
    assert sorted(distance_table()) == sorted(cross_graph.distances())

    generator = np.random.default_rng(1)
    states = [unrank(int(n)) for n in generator.integers(STATE_COUNT, size=2000)]
    solutions = [median_seconds(lambda s=state: shortest_solutions(s), 1) for state in states]
    start = median_seconds(
        lambda: subprocess.run(
            [sys.executable, "-c", "from solverworker.search import warm_up; warm_up()"], check=True
        ),
        5,
    )
    show(
        [
            ("distance table, compiled code warm", f"{own * 1e3:.1f} ms"),
            (
                "SciPy's search of the ready graph",
                f"{scipy * 1e3:.0f} ms, {scipy / own:.0f} ×",
            ),
            ("all shortest solutions of a cross, median", f"{np.median(solutions) * 1e6:.0f} µs"),
            ("a process with kernels and table, from its start", f"{start:.2f} s"),
        ]
    )


if __name__ == "__main__":
    main()
