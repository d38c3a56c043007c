"""Making the atlas: one pass over all shortest solutions of all crosses (about two million)."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from solverworker import atlas as reading
from solverworker.atlas import Atlas
from solverworker.search.compiling import kernel
from solverworker.search.cross import MAX_DISTANCE, MAX_SOLUTIONS, codes, tables
from solverworker.search.cross_kernels import fill_solutions
from solverworker.tablefile import Table, load_or_make
from solverworker.techniques.mask_kernels import mask_of_trace
from solverworker.techniques.registry import TECHNIQUES
from solverworker.techniques.trace import Bytes, Numbers, fill_trace
from solverworker.techniques.using import scratch


@kernel(
    "void(uint16[:, ::1], uint8[::1], uint32[::1], Array(int32, 1, 'C', True), "
    "uint8[:, ::1], uint8[:, ::1], int64[::1], int64[::1], int64[::1], uint8[::1], "
    "uint16[::1], uint8[::1], uint8[::1])"
)
def fill_atlas(
    pair_turns: npt.NDArray[np.uint16],
    distances: Bytes,
    descents: npt.NDArray[np.uint32],
    codes: npt.NDArray[np.int32],
    solutions: Bytes,
    edges: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    distance: Bytes,
    count: npt.NDArray[np.uint16],
    some: Bytes,
    every: Bytes,
) -> None:
    """Fill what the atlas holds of each code; the arrays before are tables and room to work in."""
    for rank in range(codes.shape[0]):
        code = codes[rank]
        length = int(distances[code])
        found = fill_solutions(pair_turns, descents, code, length, solutions)
        one, all_of_them = 0, 255
        for row in range(found):
            moments = fill_trace(code, solutions[row], length, edges, moment, ends, settle)
            mask = int(mask_of_trace(edges, solutions[row], moment, ends, settle, length, moments))
            one |= mask
            all_of_them &= mask
        distance[rank] = length
        count[rank] = found
        some[rank] = one
        every[rank] = all_of_them


def make_table() -> Table:
    """Return the atlas as arrays, made anew (about a second)."""
    held = tables()
    table: dict[str, npt.NDArray[Any]] = {
        "techniques": np.frombuffer(" ".join(TECHNIQUES).encode(), dtype=np.uint8).copy(),
        "distance": np.empty(len(codes()), dtype=np.uint8),
        "count": np.empty(len(codes()), dtype=np.uint16),
        "some": np.empty(len(codes()), dtype=np.uint8),
        "every": np.empty(len(codes()), dtype=np.uint8),
    }
    fill_atlas(
        held.pair_turns,
        held.distances,
        held.descents,
        codes(),
        np.empty((MAX_SOLUTIONS, MAX_DISTANCE), dtype=np.uint8),
        *scratch(),
        table["distance"],
        table["count"],
        table["some"],
        table["every"],
    )
    return table


def atlas() -> Atlas:
    """Return the atlas, made first when there is no sound file of it."""
    there = reading.atlas()
    if there is not None:
        return there
    return reading.hold(load_or_make(reading.NAME, reading.version(), make_table))
