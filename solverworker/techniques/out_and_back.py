"""Out and back: an edge leaves the base by a side turn and returns by that face's next turn.

Two techniques are of this kind: the flipped-edge insert, in which another edge
settles meanwhile, and the step aside, which is every other one.
"""

from __future__ import annotations

from collections.abc import Iterator

from solverworker.search.compiling import kernel
from solverworker.techniques.trace import (
    BASE,
    TOP,
    TRACE_ARRAYS,
    Bytes,
    Numbers,
    Trace,
    TracedTurn,
    in_base,
    turn_bit,
)


def outs_and_backs(trace: Trace) -> Iterator[tuple[int, int, int]]:
    """Give every time: the edge, the place of the turn out and of the turn back."""
    turns = trace.turns
    for first, out in enumerate(turns):
        if out.face in (TOP, BASE):
            continue
        later = range(first + 1, len(turns))
        second = next((index for index in later if turns[index].face == out.face), None)
        if second is None:
            continue
        back = turns[second]
        for edge in range(4):
            leaves = in_base(out.before[edge]) and not in_base(out.after[edge])
            returns = not in_base(back.before[edge]) and in_base(back.after[edge])
            if leaves and returns:
                yield edge, first, second


def makes_room(trace: Trace, edge: int, out: TracedTurn, back: TracedTurn) -> bool:
    """Whether another edge settles strictly between the moments, and no D turn lies there."""
    other_settles = any(
        out.moment < trace.settle[other] < back.moment for other in range(4) if other != edge
    )
    base_turned = any(
        turn.face == BASE and out.moment < turn.moment < back.moment for turn in trace.turns
    )
    return other_settles and not base_turned


@kernel(f"int64({TRACE_ARRAYS}, boolean)")
def turns_out_and_back(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
    room_made: bool,
) -> int:
    """Return all turns out and back, as bits: those between which room was made, or the others."""
    found = 0
    for out in range(length):
        face = turns[out] // 3
        if face in (TOP, BASE):
            continue
        back = out + 1
        base_turned = False
        while back < length and turns[back] // 3 != face:
            if turns[back] // 3 == BASE:
                base_turned = True
            back += 1
        if back == length:
            continue
        for edge in range(4):
            stays = edges[out, edge], edges[out + 1, edge], edges[back, edge], edges[back + 1, edge]
            if stays[0] < 16 or stays[0] & 1 or (stays[1] >= 16 and not stays[1] & 1):
                continue
            if stays[3] < 16 or stays[3] & 1 or (stays[2] >= 16 and not stays[2] & 1):
                continue
            other_settles = False
            for other in range(4):
                if other != edge and moment[out] < settle[other] < moment[back]:
                    other_settles = True
            if (other_settles and not base_turned) == room_made:
                found |= turn_bit(out) | turn_bit(back)
    return found
