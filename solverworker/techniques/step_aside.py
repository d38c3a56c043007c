"""Step aside: an edge leaves the base and comes back, and no flipped edge went in meanwhile."""

from __future__ import annotations

from solverworker.search.compiling import kernel
from solverworker.techniques.course import COURSE, Bytes, Course, Numbers
from solverworker.techniques.parting import STEP_ASIDE, kinds_of_partings, makes_room, partings
from solverworker.techniques.registry import Technique


def uses(course: Course) -> bool:
    """Whether some parting is not a flipped-edge insert."""
    return any(not makes_room(course, *parting) for parting in partings(course))


@kernel(f"boolean({COURSE})")
def step_aside_kernel(
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
    return bool(kinds & STEP_ASIDE)


TECHNIQUE = Technique(
    code="step_aside",
    definition=(
        "A side turn takes an edge out of the base, the next turn of the same face finds it out "
        "and puts it back, and it is not a flipped-edge insert."
    ),
    example=("R F2 L U L'", "L U' L' F2 R'"),
    uses=uses,
    kernel=step_aside_kernel,
)
