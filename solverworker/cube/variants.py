"""The same cross in another shape: mirrored, or held another way.

A scramble is rewritten turn by turn, so the cross it leaves is the old one in
a mirror or turned about, and needs the same number of moves by the same ideas.
"""

from __future__ import annotations

from typing import Final

from solverworker.cube.holds import RELABEL, follow_scramble, rotate
from solverworker.cube.turns import FACES, face_of, quarters_of, write_turns

_RIGHT, _LEFT = FACES.index("R"), FACES.index("L")
_ACROSS: Final = {_RIGHT: _LEFT, _LEFT: _RIGHT}


def mirrored(scramble: str) -> str:
    """Return the scramble seen in a mirror beside the cube: left for right, the other way round.

    Colours on top and bottom stay, so a white cross stays a white cross.
    Raises NotationError.

    >>> mirrored("R U' F2 L")
    "L' U F2 R'"
    """
    turns = follow_scramble(scramble).turns
    return write_turns(
        3 * _ACROSS.get(face_of(turn), face_of(turn)) + 3 - quarters_of(turn) for turn in turns
    )


def held(scramble: str, rotation: str, quarters: int) -> str:
    """Return the scramble that makes the same pattern on a cube turned about ``x``, ``y`` or ``z``.

    About ``y`` the colours on top and bottom stay. Raises NotationError, and
    KeyError for another axis.

    >>> held("F R' U", "y", 1)
    "L F' U"
    """
    hold = rotate(0, rotation, quarters)
    relabel = RELABEL[hold]
    return write_turns(relabel[turn] for turn in follow_scramble(scramble).turns)
