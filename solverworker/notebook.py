"""A few words for people at a keyboard: texts in, where the rest of the solver takes numbers."""

from __future__ import annotations

from solverworker.cube.cross import CrossState, after
from solverworker.cube.holds import walk
from solverworker.cube.notation import parse
from solverworker.techniques import used


def cross_after(scramble: str) -> CrossState:
    """Return the cross of the bottom colour after moves (club spelling) from a solved cube.

    Rotations turn the whole cube, so the colour is the one that was at the
    bottom at the start: yellow. Raises NotationError.

    >>> cross_after("") == cross_after("U2")
    True
    """
    return after(walk(parse(scramble)).turns)


def techniques_used(state: CrossState, solution: str) -> frozenset[str]:
    """Return the codes of the techniques that a solution of a state uses.

    Raises NotationError, and ValueError when the moves do not solve it.

    >>> sorted(techniques_used(cross_after("R D"), "D' R'"))
    ['base_turn']
    """
    return used(state, walk(parse(solution)).turns)
