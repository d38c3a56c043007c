"""How long the best cross is when several colours are allowed, measured on random states.

python -m tests.bench.best_of_colours [draws]
"""

from __future__ import annotations

import sys

import numpy as np

from solverworker.cube.chance import Stream, random_cube
from solverworker.cube.colours import CENTRES
from solverworker.cube.cross import code
from solverworker.cube.in_hold import DOWN, seen_in
from solverworker.report import COLOURS
from solverworker.search.cross import tables

ALLOWED = (
    ("white",),
    ("white", "yellow"),
    ("white", "yellow", "green", "blue"),
    COLOURS,
)


def main() -> None:
    """Draw and print."""
    draws = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    source = Stream("best of colours")
    distances = np.empty((draws, 6), dtype=np.int64)
    for row in range(draws):
        cube = random_cube(source)
        crosses = [code(seen_in(cube, DOWN[centre]).cross) for centre in CENTRES]
        distances[row] = tables().distances[crosses]
    print(f"{draws:,} random states, share in % by length of the best cross")
    print(f"{'allowed':<28}" + "".join(f"{n:>7}" for n in range(9)) + f"{'mean':>8}")
    for allowed in ALLOWED:
        best = distances[:, [COLOURS.index(colour) for colour in allowed]].min(axis=1)
        shares = np.bincount(best, minlength=9) / draws * 100
        name = "any of the six" if allowed == COLOURS else ", ".join(allowed)
        print(f"{name:<28}" + "".join(f"{s:>7.2f}" for s in shares) + f"{best.mean():>8.3f}")


if __name__ == "__main__":
    main()
