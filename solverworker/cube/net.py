"""The drawn net: what a cube looks like after a scramble, and step by step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from solverworker.cube.colours import COLOUR_OF_FACE
from solverworker.cube.notation import Token, parse, parse_scramble
from solverworker.cube.stickers import SOURCES
from solverworker.cube.turns import FACES

Net = Mapping[str, tuple[str, ...]]

_SOLVED: Final[tuple[str, ...]] = tuple(COLOUR_OF_FACE[face] for face in FACES for _ in range(9))


def net(scramble: str) -> Net:
    """Return the nine colour names of each face after a scramble.

    Faces are ``U R F D L B`` as held; nine names row by row as the net is
    drawn (U above F, D below it). Raises NotationError.

    >>> net("R")["F"]
    ('green', 'green', 'yellow', 'green', 'green', 'yellow', 'green', 'green', 'yellow')
    """
    return _faces(_turned(_SOLVED, parse_scramble(scramble)))


def net_steps(scramble: str, plan: str) -> list[Net]:
    """Return the net after the scramble, then after each written token of a plan.

    The list is one longer than the plan has tokens. Raises NotationError,
    whose ``where`` tells in which of the two texts.

    >>> len(net_steps("R U", "U' R'"))
    3
    """
    stickers: Sequence[str] = _turned(_SOLVED, parse_scramble(scramble))
    steps = [_faces(stickers)]
    for token in parse(plan):
        stickers = _turned(stickers, (token,))
        steps.append(_faces(stickers))
    return steps


def _turned(stickers: Sequence[str], tokens: Iterable[Token]) -> Sequence[str]:
    for token in tokens:
        source = SOURCES[token.family, token.quarters]
        stickers = tuple([stickers[place] for place in source])
    return stickers


def _faces(stickers: Sequence[str]) -> Net:
    return {face: tuple(stickers[9 * number : 9 * number + 9]) for number, face in enumerate(FACES)}
