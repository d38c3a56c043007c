"""Relative build: edges are placed right to each other while off their centres."""

from __future__ import annotations

import numpy as np

from solverworker.search.compiling import kernel
from solverworker.techniques.technique import Technique
from solverworker.techniques.trace import TRACE_ARRAYS, Bytes, Numbers, Trace, in_base, turn_bit


def where(trace: Trace) -> frozenset[int]:
    """Return the turns that join the second edge to the first away from the centres.

    The first is an edge of the least settle moment. When that is no edge's
    start and two edges settle in it, they are joined in it; otherwise the
    second comes at the next larger settle moment, if there is one.
    """
    moments = sorted(set(trace.settle))
    first = moments[0]
    if trace.base_offset(first) == 0:
        return frozenset()
    if first > 0 and trace.settle.count(first) >= 2:
        return _joining(trace, first)
    if len(moments) == 1 or trace.base_offset(moments[1] - 1) == 0:
        return frozenset()
    return _joining(trace, moments[1])


def _joining(trace: Trace, moment: int) -> frozenset[int]:
    """Return the turns of a moment that bring the edges into the base that settle in it."""
    return frozenset(
        index
        for index, turn in enumerate(trace.turns)
        if turn.moment == moment
        and any(
            trace.settle[edge] == moment
            and in_base(turn.after[edge])
            and not in_base(turn.before[edge])
            for edge in range(4)
        )
    )


@kernel(f"int64({TRACE_ARRAYS})")
def relative_build_kernel(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
) -> int:
    """Do the same on arrays."""
    first, who, together = moments + 1, 0, 0
    for edge in range(4):
        if settle[edge] < first:
            first, who, together = settle[edge], edge, 1
        elif settle[edge] == first:
            together += 1
    if (np.int64(edges[ends[first], who]) // 2 - 8 - who) % 4 == 0:
        return 0
    second = moments + 1
    if first > 0 and together >= 2:
        second = first
    else:
        for edge in range(4):
            if first < settle[edge] < second:
                second = settle[edge]
        if second > moments:
            return 0
        if (np.int64(edges[ends[second - 1], who]) // 2 - 8 - who) % 4 == 0:
            return 0
    found = 0
    for index in range(ends[second - 1], ends[second]):
        for edge in range(4):
            was = edges[index, edge]
            if settle[edge] == second and (was < 16 or was & 1):
                now = edges[index + 1, edge]
                if now >= 16 and not now & 1:
                    found |= turn_bit(index)
    return found


TECHNIQUE = Technique(
    definition=(
        "Edges are placed right relative to each other while off their centres: the base's "
        "offset is not 0 when the first edge has settled and not 0 just before the second does."
    ),
    example=("D R", "R' D'"),
    where=where,
    kernel=relative_build_kernel,
)
