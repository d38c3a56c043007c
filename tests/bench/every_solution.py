"""Every shortest solution of every cross, told by kernels and by the plain forms: all equal.

    python -m tests.bench.every_solution [processes]

About two million solutions; the plain forms take some minutes.
"""

from __future__ import annotations

import multiprocessing
import sys
import time

from solverworker.cube.cross import STATE_COUNT, code, unrank
from solverworker.search.cross import distance, solutions_of_code
from solverworker.techniques import codes_of_mask, masks, used
from solverworker.techniques.atlas_maker import atlas

CHUNK = 2_000


def compare(start: int) -> tuple[int, int]:
    """Compare the states from one rank on. Returns how many solutions, how many differ."""
    held = atlas()
    solutions = different = 0
    for number in range(start, min(start + CHUNK, STATE_COUNT)):
        state = unrank(number)
        length = distance(state)
        rows = solutions_of_code(code(state))
        found = masks(code(state), rows, length)
        plain = [used(state, row[:length]) for row in rows.tolist()]
        different += sum(
            codes_of_mask(int(one)) != other for one, other in zip(found, plain, strict=True)
        )
        entry = held.entry(state)
        if (entry.count, entry.some, entry.every) != (
            len(plain),
            frozenset().union(*plain),
            frozenset.intersection(*plain),
        ):
            different += 1
        solutions += len(plain)
    return solutions, different


def main() -> None:
    """Compare all, and print."""
    processes = int(sys.argv[1]) if len(sys.argv) > 1 else 2
    atlas()
    began = time.perf_counter()
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        parts = pool.map(compare, range(0, STATE_COUNT, CHUNK), chunksize=1)
    solutions, different = (sum(column) for column in zip(*parts, strict=True))
    took = time.perf_counter() - began
    print(f"{solutions:,} solutions, {different} told differently, {took:.0f} s")
    if different:
        sys.exit(1)


if __name__ == "__main__":
    main()
