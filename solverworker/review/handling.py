"""Handling: what a plan asks of the hands beside its turns. Noted, never counted.

A coach teaches them and the trade agrees that they cost time (common practice,
no source).
"""

from __future__ import annotations

from collections.abc import Sequence

from solverworker.cube.holds import HOLDS
from solverworker.cube.notation import Token
from solverworker.cube.turns import FACES
from solverworker.report import Handling

_TOP = FACES.index("U")
_BOTTOM = FACES.index("D")
_BACK = ("B", "Bw")


def handling(tokens: Sequence[Token], end_hold: int, centre: int) -> Handling:
    """Return how a plan handles the cube.

    ``end_hold``: the hold in which it leaves the cube; ``centre``: that of the
    cross colour.

    >>> from solverworker.cube.notation import parse
    >>> handling(parse("z2 R2 y B"), 0, 0)
    Handling(ends_on='top', rotations=2, rotations_after_first_move=1, back_turns=1, half_turns=1)
    """
    place = HOLDS[end_hold].index(centre)
    moved = False
    rotations = late = back_turns = half_turns = 0
    for token in tokens:
        if token.kind == "rotation":
            rotations += 1
            late += moved
            continue
        moved = True
        back_turns += token.family in _BACK
        half_turns += token.quarters == 2
    return Handling(
        ends_on="bottom" if place == _BOTTOM else "top" if place == _TOP else "side",
        rotations=rotations,
        rotations_after_first_move=late,
        back_turns=back_turns,
        half_turns=half_turns,
    )
