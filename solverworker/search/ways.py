"""Every way of a given length to solve a cross: what a plan that is not shortest chooses from."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.search.compiling import kernel
from solverworker.search.cross import tables

MOST_WAYS: Final = 20_000
"""Most ways that are listed unless told; those of length + 2 may be tens of thousands."""


@kernel("int64(uint16[:, ::1], uint8[::1], int64, int64, uint8[:, ::1])")
def fill_ways(
    pair_turns: npt.NDArray[np.uint16],
    distances: npt.NDArray[np.uint8],
    code: int,
    length: int,
    out: npt.NDArray[np.uint8],
) -> int:
    """Fill the ways of ``length`` turns, depth first; stops when ``out`` is full.

    In canonical form: never one face twice running, and of two opposite faces
    the first before the second. Returns how many were found.
    """
    codes = np.empty(length + 1, np.int64)
    tried = np.zeros(length + 1, np.int64)
    path = np.empty(length + 1, np.int64)
    codes[0] = code
    depth = found = 0
    if distances[code] > length:
        return 0
    while depth >= 0:
        if depth == length:
            for index in range(length):
                out[found, index] = path[index]
            found += 1
            if found == out.shape[0]:
                return found
            depth -= 1
            continue
        turn = tried[depth]
        if turn == 18:
            tried[depth] = 0
            depth -= 1
            continue
        tried[depth] += 1
        if depth > 0:
            before = path[depth - 1] // 3
            if turn // 3 == before or turn // 3 + 3 == before:
                continue
        p, q = codes[depth] // 576, codes[depth] % 576
        reached = np.int64(pair_turns[turn, p]) * 576 + np.int64(pair_turns[turn, q])
        if distances[reached] < length - depth:
            path[depth] = turn
            codes[depth + 1] = reached
            depth += 1
    return found


def ways(code: int, length: int, most: int = MOST_WAYS) -> npt.NDArray[np.uint8]:
    """Return the ways of ``length`` turns that solve the state with a code: uint8, count × length.

    In canonical form, so that each stands once; the first ``most`` of them, in
    the order of their turns' numbers. None when the state is further away.

    >>> from solverworker.cube.cross import after
    >>> from solverworker.cube.cross import code as code_of
    >>> ways(code_of(after([3, 9])), 2).tolist()  # R D
    [[11, 5]]
    """
    held = tables()
    out = np.empty((most, length), dtype=np.uint8)
    return out[: fill_ways(held.pair_turns, held.distances, code, length, out)]
