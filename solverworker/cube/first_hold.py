"""A plan written from another hold: the rotation that was forgotten before it."""

from __future__ import annotations

from collections import deque

from solverworker.cube.colours import COLOUR_OF_FACE
from solverworker.cube.holds import HOLDS, follow_scramble, rotate
from solverworker.cube.turns import FACES

_QUARTERS = ((1, ""), (3, "'"), (2, "2"))


def with_rotation(scramble: str, plan: str, *, top: str, front: str) -> str:
    """Return a plan that begins with the rotations to the hold with these colours.

    ``top``, ``front``: names of colours that can be beside each other; ValueError otherwise.

    >>> with_rotation("R D", "D' R'", top="yellow", front="green")
    "z2 D' R'"
    >>> with_rotation("R D", "D' R'", top="white", front="green")
    "D' R'"
    """
    begun = follow_scramble(scramble).hold
    ways: dict[int, tuple[str, ...]] = {begun: ()}
    queue = deque([begun])
    while queue:
        hold = queue.popleft()
        up, _, before = HOLDS[hold][:3]
        if (COLOUR_OF_FACE[FACES[up]], COLOUR_OF_FACE[FACES[before]]) == (top, front):
            return " ".join((*ways[hold], *filter(None, [plan])))
        for family in "xyz":
            for quarters, sign in _QUARTERS:
                other = rotate(hold, family, quarters)
                if other not in ways:
                    ways[other] = (*ways[hold], family + sign)
                    queue.append(other)
    raise ValueError(f"no hold has {top} on top and {front} in front")
