"""How a solved plan was made: from where on it is a shortest one, and whether edge by edge."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

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
    """Whether a solved plan sets each edge straight onto its own centre.

    At the end of the moment in which an edge settles (of the normal form, the
    start included), the base's offset is 0. ``code``: of the cross before;
    ``turns``: as seen with the colour at the bottom.

    >>> from solverworker.cube.cross import after, code
    >>> is_edge_by_edge(code(after([3, 6])), [8, 5]), is_edge_by_edge(code(after([9, 3])), [5, 11])
    (True, False)
    """
    own = np.frombuffer(bytearray(in_normal_form(turns)), dtype=np.uint8)
    return bool(_on_its_own_centre(code, own, len(own), *scratch()))


@kernel("int64(int64, uint8[::1], int64, uint8[:, ::1], int64[::1], int64[::1], int64[::1])")
def _on_its_own_centre(
    code: int,
    turns: Bytes,
    length: int,
    edges: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
) -> int:
    fill_trace(code, turns, length, edges, moment, ends, settle)
    for edge in range(4):
        if (np.int64(edges[ends[settle[edge]], edge]) // 2 - 8 - edge) % 4 != 0:
            return 0
    return 1
