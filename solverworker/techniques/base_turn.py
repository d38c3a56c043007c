"""Base turn: the bottom is turned to bring the gap to the edge."""

from __future__ import annotations

from solverworker.search.compiling import kernel
from solverworker.techniques.course import BASE, COURSE, Bytes, Course, Numbers
from solverworker.techniques.registry import Technique


def uses(course: Course) -> bool:
    """Whether a D turn comes while one, two or three edges are settled before its moment."""
    return any(
        step.face == BASE and 1 <= sum(at < step.moment for at in course.settle) <= 3
        for step in course.steps
    )


@kernel(f"boolean({COURSE})")
def base_turn_kernel(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
) -> bool:
    """Do the same on arrays."""
    for index in range(length):
        if turns[index] // 3 == BASE:
            settled = 0
            for edge in range(4):
                if settle[edge] < moment[index]:
                    settled += 1
            if 1 <= settled <= 3:
                return True
    return False


TECHNIQUE = Technique(
    code="base_turn",
    definition=(
        "The bottom is turned to bring the gap to the edge: a D turn in a moment before which "
        "one, two or three edges are settled."
    ),
    example=("R D", "D' R'"),
    uses=uses,
    kernel=base_turn_kernel,
)
