"""Distances in quarter turns, where a half turn counts two. For the library only."""

from __future__ import annotations

from functools import cache

import numpy as np
import numpy.typing as npt

from solverworker.cube.cross import CODE_COUNT, CrossState, rank
from solverworker.search.cross import SOLVED_CODE, codes, tables

_QUARTERS = [turn for turn in range(18) if turn % 3 != 1]


@cache
def quarter_distance_table() -> npt.NDArray[np.uint8]:
    """Return the distance in quarter turns of each state by rank: uint8, values of 0 to 9.

    >>> table = quarter_distance_table()
    >>> int(table.max()), int((table == 9).sum())
    (9, 207)
    """
    turns = tables().pair_turns[_QUARTERS].astype(np.int64)
    found = np.full(CODE_COUNT, 255, dtype=np.uint8)
    found[SOLVED_CODE] = 0
    reached = np.array([SOLVED_CODE])
    distance = 0
    while len(reached):
        distance += 1
        around = turns[:, reached // 576] * 576 + turns[:, reached % 576]
        reached = np.unique(around[found[around] == 255])
        found[reached] = distance
    result = found[codes()]
    result.flags.writeable = False
    return result


def quarter_distance(state: CrossState) -> int:
    """Return the least number of quarter turns that solve a state.

    >>> from solverworker.cube.cross import after
    >>> quarter_distance(after([4])), quarter_distance(after([3, 9]))
    (2, 2)
    """
    return int(quarter_distance_table()[rank(state)])
