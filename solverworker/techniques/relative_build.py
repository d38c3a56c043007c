"""Relative build: edges are placed right to each other while off their centres."""

from __future__ import annotations

from solverworker.search.compiling import kernel
from solverworker.techniques.course import COURSE, Bytes, Course, Numbers
from solverworker.techniques.registry import Technique


def uses(course: Course) -> bool:
    """Whether the second edge is joined to the first away from the centres.

    The first is an edge of the least settle moment. When that is no edge's
    start and two edges settle in it, they are joined in it; otherwise the
    second comes at the next larger settle moment, if there is one.
    """
    moments = sorted(set(course.settle))
    first = moments[0]
    if first > 0 and course.settle.count(first) >= 2:
        return course.base_offset(first) != 0
    if len(moments) == 1:
        return False
    second = moments[1]
    return course.base_offset(first) != 0 and course.base_offset(second - 1) != 0


@kernel(f"boolean({COURSE})")
def relative_build_kernel(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
) -> bool:
    """Do the same on arrays."""
    first, who, together = moments + 1, 0, 0
    for edge in range(4):
        if settle[edge] < first:
            first, who, together = settle[edge], edge, 1
        elif settle[edge] == first:
            together += 1
    if (edges[ends[first], who] // 2 - 8 - who) % 4 == 0:
        return False
    if first > 0 and together >= 2:
        return True
    second = moments + 1
    for edge in range(4):
        if first < settle[edge] < second:
            second = settle[edge]
    if second > moments:
        return False
    return bool((edges[ends[second - 1], who] // 2 - 8 - who) % 4 != 0)


TECHNIQUE = Technique(
    code="relative_build",
    definition=(
        "Edges are placed right relative to each other while off their centres: the base's "
        "offset is not 0 when the first edge has settled and not 0 just before the second does."
    ),
    example=("D R", "R' D'"),
    uses=uses,
    kernel=relative_build_kernel,
)
