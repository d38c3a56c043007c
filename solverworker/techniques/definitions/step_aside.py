"""Step aside: an edge leaves the base and comes back, and no flipped edge went in meanwhile."""

from __future__ import annotations

from solverworker.search.compiling import kernel
from solverworker.techniques.out_and_back import makes_room, outs_and_backs, turns_out_and_back
from solverworker.techniques.technique import Technique
from solverworker.techniques.trace import TRACE_ARRAYS, Bytes, Numbers, Trace


def where(trace: Trace) -> frozenset[int]:
    """Return each pair of turns out and back that is no flipped-edge insert."""
    return frozenset(
        turn
        for edge, out, back in outs_and_backs(trace)
        if not makes_room(trace, edge, trace.turns[out], trace.turns[back])
        for turn in (out, back)
    )


@kernel(f"int64({TRACE_ARRAYS})")
def step_aside_kernel(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
) -> int:
    """Do the same on arrays."""
    return turns_out_and_back(edges, turns, moment, ends, settle, length, moments, False)


TECHNIQUE = Technique(
    definition=(
        "A side turn takes an edge out of the base, the next turn of the same face finds it out "
        "and puts it back, and it is not a flipped-edge insert."
    ),
    example=("R F2 L U L'", "L U' L' F2 R'"),
    where=where,
    kernel=step_aside_kernel,
)
