"""Flipped-edge insert: an edge steps out of the base, a flipped one settles, it comes back."""

from __future__ import annotations

from solverworker.search.compiling import kernel
from solverworker.techniques.course import COURSE, Bytes, Course, Numbers
from solverworker.techniques.parting import FLIPPED_INSERT, kinds_of_partings, makes_room, partings
from solverworker.techniques.registry import Technique


def uses(course: Course) -> bool:
    """Whether some parting lets another edge settle, with no D turn between."""
    return any(makes_room(course, *parting) for parting in partings(course))


@kernel(f"boolean({COURSE})")
def flipped_insert_kernel(
    edges: Bytes,
    turns: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    length: int,
    moments: int,
) -> bool:
    """Do the same on arrays."""
    kinds = kinds_of_partings(edges, turns, moment, ends, settle, length, moments)
    return bool(kinds & FLIPPED_INSERT)


TECHNIQUE = Technique(
    code="flipped_insert",
    definition=(
        "A side turn takes an edge out of the base, the next turn of the same face finds it out "
        "and puts it back; another edge settles in a moment strictly between, and no D turn lies "
        "between them."
    ),
    example=("R B R'", "R B' R'"),
    uses=uses,
    kernel=flipped_insert_kernel,
)
