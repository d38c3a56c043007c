"""A way to the cross as the member would write it, and whether it is the member's own."""

from __future__ import annotations

from itertools import takewhile

from solverworker.cube.holds import RELABEL, follow_scramble, walk
from solverworker.cube.moments import normal_form
from solverworker.cube.notation import parse
from solverworker.cube.turns import write_turns


def as_held(scramble: str, plan: str, way: str) -> str:
    """Return a way in the hold in which a plan begins.

    ``way``: face turns, perhaps after rotations, from where the scramble ends.
    It comes back with the rotations that the plan begins with. Raises NotationError.

    >>> as_held("R D", "y F", "z2 U' L'")
    "y D' F'"
    >>> as_held("R D", "D' R'", "D' R'")
    "D' R'"
    """
    before = follow_scramble(scramble)
    rotations = list(takewhile(lambda token: not token.moves, parse(plan)))
    turns = walk(parse(way), before.hold).turns
    relabel = RELABEL[walk(rotations, before.hold).hold]
    return " ".join(
        filter(
            None,
            [*(str(token) for token in rotations), write_turns(relabel[turn] for turn in turns)],
        )
    )


def is_same_way(scramble: str, plan: str, way: str) -> bool:
    """Return whether a plan is a way, but for rotations and the order of what commutes.

    >>> is_same_way("R D", "z2 L' R U'", "R D' R'"), is_same_way("L R D", "D' R' L'", "D' L' R'")
    (False, True)
    """
    hold = follow_scramble(scramble).hold
    plans, ways = (walk(parse(text), hold).turns for text in (plan, way))
    return normal_form(plans) == normal_form(ways)
