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


def handling(tokens: Sequence[Token], end_hold: int, centre: int) -> Handling:
    """Return how a plan handles the cube.

    ``end_hold``: the hold in which it leaves the cube; ``centre``: that of the
    cross colour.

    >>> from solverworker.cube.notation import parse
    >>> handling(parse("z2 R2 y B"), 0, 0)
    Handling(ends_on='top', rotations=2, rotations_after_first_move=1, back_turns=1, half_turns=1)
    """
    place = HOLDS[end_hold].index(centre)
    first = next((at for at, token in enumerate(tokens) if token.moves), len(tokens))
    rotations = [at for at, token in enumerate(tokens) if token.kind == "rotation"]
    return Handling(
        ends_on="bottom" if place == _BOTTOM else "top" if place == _TOP else "side",
        rotations=len(rotations),
        rotations_after_first_move=sum(at > first for at in rotations),
        back_turns=sum(token.family in ("B", "Bw") for token in tokens),
        half_turns=sum(token.moves > 0 and token.quarters == 2 for token in tokens),
    )
