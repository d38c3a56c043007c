"""Base turn: the bottom is turned to bring the gap to the edge."""

from __future__ import annotations

from solverworker.search.compiling import kernel
from solverworker.techniques.technique import Technique
from solverworker.techniques.trace import BASE, TRACE_ARRAYS, Bytes, Numbers, Trace, turn_bit


def where(trace: Trace) -> frozenset[int]:
    """Return the D turns that come while one, two or three edges are settled before."""
    return frozenset(
        index
        for index, turn in enumerate(trace.turns)
        if turn.face == BASE and 1 <= sum(at < turn.moment for at in trace.settle) <= 3
    )


@kernel(f"int64({TRACE_ARRAYS})")
def base_turn_kernel(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
) -> int:
    """Do the same on arrays."""
    found = 0
    for index in range(length):
        if turns[index] // 3 == BASE:
            settled = 0
            for edge in range(4):
                if settle[edge] < moment[index]:
                    settled += 1
            if 1 <= settled <= 3:
                found |= turn_bit(index)
    return found


TECHNIQUE = Technique(
    definition=(
        "The bottom is turned to bring the gap to the edge: a D turn in a moment before which "
        "one, two or three edges are settled."
    ),
    example=("R D", "D' R'"),
    where=where,
    kernel=base_turn_kernel,
)
