"""How a solved plan was made: from where on it is a shortest one, and whether edge by edge."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from solverworker.cube.cross import SOLVED
from solverworker.cube.moments import in_normal_form
from solverworker.search.compiling import kernel
from solverworker.techniques.trace import Bytes, Numbers, fill_trace
from solverworker.techniques.using import scratch


def tail_of(turns: Sequence[int], distances: Sequence[int]) -> int | None:
    """Return the distance after the last moment of a solved plan that lost something.

    From there on the plan is a shortest one. ``turns``: of centres' faces, as
    written, nothing cancelled; ``distances``: before them and after each. A
    moment is a run of neighbouring turns about one axis; it lost its turns +
    the distance after it - the distance before. None where nothing was lost.

    >>> tail_of([0, 9, 3], [2, 3, 2, 1])  # U D is one moment and lost two, R none
    2
    """
    begin = len(turns)
    if begin + distances[begin] == distances[0]:
        return None
    while begin:
        end, axis = begin, turns[begin - 1] // 3 % 3
        while begin and turns[begin - 1] // 3 % 3 == axis:
            begin -= 1
        if end - begin + distances[end] - distances[begin]:
            return distances[end]
    return None


def is_edge_by_edge(code: int, turns: Sequence[int]) -> bool:
    """Whether a solved plan sets each edge straight onto its own centre, one after the other.

    Looked at when the moments of its normal form end: the most edges that were
    home so far never grows by two. Edges that were placed beside each other
    first come home together; those that a turn of the bottom takes away and
    brings back are not counted again. ``code``: of the cross before; ``turns``:
    as seen with the colour at the bottom.

    >>> from solverworker.cube.cross import after, code
    >>> is_edge_by_edge(code(after([3, 6])), [8, 5]), is_edge_by_edge(code(after([9, 3])), [5, 11])
    (True, False)
    """
    own = np.frombuffer(bytearray(in_normal_form(turns)), dtype=np.uint8)
    return bool(_one_by_one(code, own, len(own), *scratch()))


_FIRST_HOME: Final = SOLVED[0]
"""The homes of the four edges are this state and every second one after it."""


@kernel("int64(int64, uint8[::1], int64, uint8[:, ::1], int64[::1], int64[::1], int64[::1])")
def _one_by_one(
    code: int,
    turns: Bytes,
    length: int,
    edges: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
) -> int:
    moments = fill_trace(code, turns, length, edges, moment, ends, settle)
    most = 4
    for end in range(moments + 1):
        home = 0
        for edge in range(4):
            if edges[ends[end], edge] == _FIRST_HOME + 2 * edge:
                home += 1
        if end == 0:
            most = home
        elif home > most + 1:
            return 0
        else:
            most = max(most, home)
    return 1
