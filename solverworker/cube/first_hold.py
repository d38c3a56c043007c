"""How a cube is held when a plan begins and ends, and a plan put into another hold."""

from __future__ import annotations

from collections import deque
from itertools import takewhile
from typing import NamedTuple

from solverworker.cube.colours import COLOUR_OF_FACE
from solverworker.cube.holds import HOLDS, follow_scramble, rotate, walk
from solverworker.cube.notation import canonical, parse
from solverworker.cube.turns import FACES


class TopAndFront(NamedTuple):
    """A hold as a person would say it: the colours on top and in front."""

    top: str
    front: str


class HeldAt(NamedTuple):
    """How the cube is held at a plan's first turn, ``after`` which rotations, and at its end."""

    first: TopAndFront
    after: str
    last: TopAndFront


def colours_of(hold: int) -> TopAndFront:
    """Name the colours on top and in front in a hold.

    >>> colours_of(0)
    TopAndFront(top='white', front='green')
    """
    up, _, front = HOLDS[hold][:3]
    return TopAndFront(COLOUR_OF_FACE[FACES[up]], COLOUR_OF_FACE[FACES[front]])


HOLDS_BY_COLOURS = {colours_of(hold): hold for hold in range(len(HOLDS))}
"""The 24 holds by the colours on top and in front."""


def held_at(scramble: str, plan: str) -> HeldAt:
    """Say how the cube is held when a plan begins to turn and when it ends. Raises NotationError.

    >>> told = held_at("R D", "z2 y R Uw")
    >>> told.first.top, told.after, told.last.top == told.first.top
    ('yellow', 'z2 y', True)
    """
    before, tokens = follow_scramble(scramble).hold, parse(plan)
    rotations = list(takewhile(lambda token: not token.moves, tokens))
    return HeldAt(
        first=colours_of(walk(rotations, before).hold),
        after=canonical(rotations),
        last=colours_of(walk(tokens, before).hold),
    )


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
        if colours_of(hold) == (top, front):
            return " ".join((*ways[hold], *filter(None, [plan])))
        for family in "xyz":
            for quarters, sign in _QUARTERS:
                other = rotate(hold, family, quarters)
                if other not in ways:
                    ways[other] = (*ways[hold], family + sign)
                    queue.append(other)
    raise ValueError(f"no hold has {top} on top and {front} in front")
