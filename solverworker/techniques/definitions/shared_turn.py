"""Shared turn: one turn works for two edges."""

from __future__ import annotations

from solverworker.search.compiling import kernel
from solverworker.techniques.technique import Technique
from solverworker.techniques.trace import (
    BASE,
    TRACE_ARRAYS,
    Bytes,
    Numbers,
    Trace,
    need,
    need_of,
    turn_bit,
)


def where(trace: Trace) -> frozenset[int]:
    """Return the turns other than D that lower the need of two or more edges at once."""
    return frozenset(
        index
        for index, turn in enumerate(trace.turns)
        if turn.face != BASE
        and sum(need(now) < need(was) for was, now in zip(turn.before, turn.after, strict=True))
        >= 2
    )


@kernel(f"int64({TRACE_ARRAYS})")
def shared_turn_kernel(
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
        if turns[index] // 3 != BASE:
            lowered = 0
            for edge in range(4):
                if need_of(edges[index + 1, edge]) < need_of(edges[index, edge]):
                    lowered += 1
            if lowered >= 2:
                found |= turn_bit(index)
    return found


TECHNIQUE = Technique(
    definition=(
        "One turn works for two edges: a turn other than D that lowers the need of two or more "
        "edges at once."
    ),
    example=("R F", "F' R'"),
    where=where,
    kernel=shared_turn_kernel,
)
