"""Step aside: an edge leaves the base and comes back, and no flipped edge went in meanwhile."""

from __future__ import annotations

from solverworker.search.compiling import kernel
from solverworker.techniques.course import COURSE, Bytes, Course, Numbers
from solverworker.techniques.parting import STEP_ASIDE, makes_room, partings, turns_of_partings
from solverworker.techniques.registry import Technique


def where(course: Course) -> frozenset[int]:
    """Return the two turns of each parting that is not a flipped-edge insert."""
    return frozenset(
        turn
        for edge, out, back in partings(course)
        if not makes_room(course, edge, course.steps[out], course.steps[back])
        for turn in (out, back)
    )


@kernel(f"int64({COURSE})")
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
    return turns_of_partings(edges, turns, moment, ends, settle, length, moments, STEP_ASIDE)


TECHNIQUE = Technique(
    code="step_aside",
    definition=(
        "A side turn takes an edge out of the base, the next turn of the same face finds it out "
        "and puts it back, and it is not a flipped-edge insert."
    ),
    example=("R F2 L U L'", "L U' L' F2 R'"),
    where=where,
    kernel=step_aside_kernel,
)
