"""Flipped-edge insert: an edge steps out of the base, a flipped one settles, it comes back."""

from __future__ import annotations

from solverworker.search.compiling import kernel
from solverworker.techniques.course import COURSE, Bytes, Course, Numbers
from solverworker.techniques.parting import FLIPPED_INSERT, makes_room, partings, turns_of_partings
from solverworker.techniques.registry import Technique


def where(course: Course) -> frozenset[int]:
    """Return the two turns of each parting in which another edge settles, the base at rest."""
    return frozenset(
        turn
        for edge, out, back in partings(course)
        if makes_room(course, edge, course.steps[out], course.steps[back])
        for turn in (out, back)
    )


@kernel(f"int64({COURSE})")
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
    return turns_of_partings(edges, turns, moment, ends, settle, length, moments, FLIPPED_INSERT)


TECHNIQUE = Technique(
    code="flipped_insert",
    definition=(
        "A side turn takes an edge out of the base, the next turn of the same face finds it out "
        "and puts it back; another edge settles in a moment strictly between, and no D turn lies "
        "between them."
    ),
    example=("R B R'", "R B' R'"),
    where=where,
    kernel=flipped_insert_kernel,
)
