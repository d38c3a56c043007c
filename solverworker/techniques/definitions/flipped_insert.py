"""Flipped-edge insert: an edge steps out of the base, a flipped one settles, it comes back."""

from __future__ import annotations

from solverworker.search.compiling import kernel
from solverworker.techniques.out_and_back import makes_room, outs_and_backs, turns_out_and_back
from solverworker.techniques.technique import Technique
from solverworker.techniques.trace import TRACE_ARRAYS, Bytes, Numbers, Trace


def where(trace: Trace) -> frozenset[int]:
    """Return each pair of turns out and back in which another edge settles, the base at rest."""
    return frozenset(
        turn
        for edge, out, back in outs_and_backs(trace)
        if makes_room(trace, edge, trace.turns[out], trace.turns[back])
        for turn in (out, back)
    )


@kernel(f"int64({TRACE_ARRAYS})")
def flipped_insert_kernel(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
) -> int:
    """Do the same on arrays."""
    return turns_out_and_back(edges, turns, moment, ends, settle, length, moments, True)


TECHNIQUE = Technique(
    definition=(
        "A side turn takes an edge out of the base, the next turn of the same face finds it out "
        "and puts it back; another edge settles in a moment strictly between, and no D turn lies "
        "between them."
    ),
    example=("R B R'", "R B' R'"),
    where=where,
    kernel=flipped_insert_kernel,
)
