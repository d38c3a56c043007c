"""Partings: an edge leaves the base by a side turn and comes back by that face's next turn.

Two techniques are partings: the flipped-edge insert, in which another edge
settles meanwhile, and the step aside, which is every other parting.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from solverworker.search.compiling import kernel
from solverworker.techniques.course import (
    BASE,
    COURSE,
    TOP,
    Bytes,
    Course,
    Numbers,
    Step,
    in_base,
    turn_bit,
)

FLIPPED_INSERT: Final = True
STEP_ASIDE: Final = False


def partings(course: Course) -> Iterator[tuple[int, int, int]]:
    """Give every parting: the edge, the place of the turn out and of the turn back."""
    steps = course.steps
    for first, out in enumerate(steps):
        if out.face in (TOP, BASE):
            continue
        later = range(first + 1, len(steps))
        second = next((index for index in later if steps[index].face == out.face), None)
        if second is None:
            continue
        back = steps[second]
        for edge in range(4):
            leaves = in_base(out.before[edge]) and not in_base(out.after[edge])
            returns = not in_base(back.before[edge]) and in_base(back.after[edge])
            if leaves and returns:
                yield edge, first, second


def makes_room(course: Course, edge: int, out: Step, back: Step) -> bool:
    """Whether another edge settles strictly between the moments, and no D turn lies there."""
    other_settles = any(
        out.moment < course.settle[other] < back.moment for other in range(4) if other != edge
    )
    base_turned = any(
        step.face == BASE and out.moment < step.moment < back.moment for step in course.steps
    )
    return other_settles and not base_turned


@kernel(f"int64({COURSE}, boolean)")
def turns_of_partings(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
    kind: bool,
) -> int:
    """Return the turns of all partings of a kind (FLIPPED_INSERT or STEP_ASIDE), as bits."""
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
            if (other_settles and not base_turned) == kind:
                found |= turn_bit(out) | turn_bit(back)
    return found
