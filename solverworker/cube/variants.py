"""The same cross in another shape: mirrored, or held another way.

A scramble is rewritten turn by turn, so the cross it leaves is the old one in
a mirror or turned about, and needs the same number of moves by the same ideas.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from solverworker.cube.colours import CENTRE_OF_COLOUR
from solverworker.cube.cross import CrossState, after
from solverworker.cube.holds import BOTTOMS, HOLDS, RELABEL, follow_scramble
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


def held(scramble: str, hold: int) -> str:
    """Return the scramble that makes the same pattern on a cube held so (a place in HOLDS).

    Raises NotationError.

    >>> from solverworker.cube.holds import rotate
    >>> held("F R' U", rotate(0, "y", 1))
    "L F' U"
    """
    relabel = RELABEL[hold]
    return write_turns(relabel[turn] for turn in follow_scramble(scramble).turns)


def shapes(scramble: str, colours: Sequence[str]) -> list[str]:
    """Return a scramble in all other shapes that leave the allowed colours what they are.

    Of the 48 symmetries of a cube those that take the colours to themselves:
    the crosses of these colours are then as far away as they were. Mirrored
    ones and others by turns. Raises NotationError, and KeyError for no colour.

    >>> shapes("R D", ["yellow"])[:3]
    ["L' D'", "F' D'", 'F D']
    """
    allowed = {CENTRE_OF_COLOUR[colour] for colour in colours}
    found = []
    for hold, place in enumerate(HOLDS):
        for mirror in (True, False):
            taken = {place.index(centre) for centre in allowed}
            if mirror:
                taken = {_ACROSS.get(face, face) for face in taken}
            if taken == allowed and (mirror or hold):
                shape = held(scramble, hold)
                found.append(mirrored(shape) if mirror else shape)
    return found


def crosses(scramble: str, colours: Iterable[str]) -> frozenset[tuple[str, CrossState]]:
    """Return where the edges of the crosses of some colours lie, for comparing scrambles."""
    turns = follow_scramble(scramble).turns
    return frozenset(
        (colour, after(RELABEL[BOTTOMS[0][CENTRE_OF_COLOUR[colour]].hold][t] for t in turns))
        for colour in colours
    )


def new_shape(scramble: str, colours: Sequence[str], seen: Iterable[str] = ()) -> str | None:
    """Return a scramble in a shape that leaves another cross than it and those seen.

    Where all have been seen, the one seen longest ago, unless it is the cross
    of the scramble itself. None where every shape is that: a cross that looks
    the same from all sides. ``seen``: the oldest first.
    """
    own = crosses(scramble, colours)
    had = {crosses(text, colours): number for number, text in enumerate(seen)}
    others = [shape for shape in shapes(scramble, colours) if crosses(shape, colours) != own]
    return min(others, key=lambda shape: had.get(crosses(shape, colours), -1), default=None)
