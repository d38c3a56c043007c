"""The 24 ways of holding a cube, and what written tokens do in each.

Centres never move against each other, so they serve as the fixed frame. A
**hold** says which centre stands at each of the six places up, right, front,
down, left, back; centres and places carry the numbers of the faces. Hold 0
is the one in which every scramble starts: white up, green in front (WCA 4d1).

Every token is face turns of centres followed by a change of hold:
``Rw = L x``, ``M = L' R x'`` and so on. So a plan in any spelling becomes a
list of face turns in the fixed frame, which is all that the solver needs.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Final, NamedTuple

from solverworker.cube.notation import Token, parse_scramble
from solverworker.cube.turns import FACES

Hold = tuple[int, int, int, int, int, int]

_IDENTITY: Final[Hold] = (0, 1, 2, 3, 4, 5)

# After the rotation, the centre now at each place came from this place (12a4:
# x, y, z turn the whole cube as R, U, F turn their layer).
_CAME_FROM: Final[dict[str, Hold]] = {
    "x": (2, 1, 3, 5, 4, 0),
    "y": (0, 5, 1, 3, 2, 4),
    "z": (4, 0, 2, 1, 3, 5),
}

# Token families in terms of outer turns, in the order in which a ledger
# charges them (a slice: first the face that it follows), then the rotation.
_AS_OUTER_TURNS: Final[dict[str, tuple[tuple[tuple[str, int], ...], tuple[str, int] | None]]] = {
    **{face: (((face, 1),), None) for face in FACES},
    "Rw": ((("L", 1),), ("x", 1)),
    "Lw": ((("R", 1),), ("x", 3)),
    "Uw": ((("D", 1),), ("y", 1)),
    "Dw": ((("U", 1),), ("y", 3)),
    "Fw": ((("B", 1),), ("z", 1)),
    "Bw": ((("F", 1),), ("z", 3)),
    "M": ((("L", 3), ("R", 1)), ("x", 3)),
    "E": ((("D", 3), ("U", 1)), ("y", 3)),
    "S": ((("F", 3), ("B", 1)), ("z", 1)),
    "x": ((), ("x", 1)),
    "y": ((), ("y", 1)),
    "z": ((), ("z", 1)),
}


def _rotated(hold: Hold, name: str, quarters: int) -> Hold:
    for _ in range(quarters):
        source = _CAME_FROM[name]
        hold = tuple(hold[place] for place in source)  # type: ignore[assignment]
    return hold


def _all_holds() -> tuple[Hold, ...]:
    """List the 24 holds, the starting one first, in breadth-first order over x, y, z."""
    found = [_IDENTITY]
    for hold in found:
        for name in _CAME_FROM:
            turned = _rotated(hold, name, 1)
            if turned not in found:
                found.append(turned)
    return tuple(found)


HOLDS: Final[tuple[Hold, ...]] = _all_holds()
"""``HOLDS[h][place]`` is the centre at a place."""

_NUMBER: Final[dict[Hold, int]] = {hold: number for number, hold in enumerate(HOLDS)}


class Effect(NamedTuple):
    """What a token does in a hold: turns of centres' faces, and the hold after it."""

    turns: tuple[int, ...]
    hold: int


def _effects() -> dict[tuple[str, int], tuple[Effect, ...]]:
    effects: dict[tuple[str, int], tuple[Effect, ...]] = {}
    for family, (outer, rotation) in _AS_OUTER_TURNS.items():
        for quarters in (1, 2, 3):
            row: list[Effect] = []
            for hold in HOLDS:
                turns = tuple(
                    3 * hold[FACES.index(face)] + sign * quarters % 4 - 1 for face, sign in outer
                )
                after = hold
                if rotation:
                    after = _rotated(hold, rotation[0], rotation[1] * quarters % 4)
                row.append(Effect(turns, _NUMBER[after]))
            effects[family, quarters] = tuple(row)
    return effects


EFFECTS: Final[dict[tuple[str, int], tuple[Effect, ...]]] = _effects()
"""``EFFECTS[family, quarters][hold]``."""


def layers_of(token: Token) -> tuple[str, ...]:
    """Return the outer layers that a token turns, as turns: two of a slice, none of a rotation.

    >>> from solverworker.cube.notation import parse
    >>> layers_of(parse("M")[0]), layers_of(parse("Rw2")[0])
    (("L'", 'R'), ('L2',))
    """
    outer, _ = _AS_OUTER_TURNS[token.family]
    return tuple(face + ("", "2", "'")[sign * token.quarters % 4 - 1] for face, sign in outer)


RELABEL: Final[tuple[tuple[int, ...], ...]] = tuple(
    tuple(3 * hold.index(turn // 3) + turn % 3 for turn in range(18)) for hold in HOLDS
)
"""``RELABEL[h][turn]``: a turn of a centre's face, as it is written in hold ``h``."""

UNLABEL: Final[tuple[tuple[int, ...], ...]] = tuple(
    tuple(3 * hold[turn // 3] + turn % 3 for turn in range(18)) for hold in HOLDS
)
"""``UNLABEL[h][turn]``: a turn written in hold ``h``, as a turn of a centre's face."""


class Walk(NamedTuple):
    """A sequence of tokens as face turns of centres.

    ``turns``: all of them; ``ends``: after each token, how many of ``turns``
    are done; ``hold``: the hold in which the last token leaves the cube.
    """

    turns: tuple[int, ...]
    ends: tuple[int, ...]
    hold: int


def walk(tokens: Iterable[Token], hold: int = 0) -> Walk:
    """Follow tokens from a hold.

    >>> from solverworker.cube.notation import parse
    >>> from solverworker.cube.turns import write_turns
    >>> write_turns(walk(parse("Rw U")).turns)
    'L F'
    """
    turns: list[int] = []
    ends: list[int] = []
    for token in tokens:
        effect = EFFECTS[token.family, token.quarters][hold]
        turns += effect.turns
        ends.append(len(turns))
        hold = effect.hold
    return Walk(tuple(turns), tuple(ends), hold)


@lru_cache(maxsize=512)
def follow_scramble(scramble: str) -> Walk:
    """Follow a scramble (club spelling); kept, because a whole club plans on the same ones.

    Raises NotationError with ``where`` "scramble".
    """
    return walk(parse_scramble(scramble))


def rotate(hold: int, family: str, quarters: int) -> int:
    """Return the hold after a rotation ``x``, ``y`` or ``z``."""
    return EFFECTS[family, quarters][hold].hold


_ROTATION_TO_BOTTOM: Final[tuple[tuple[str, int] | None, ...]] = (
    ("z", 2),
    ("z", 1),
    ("x", 3),
    None,
    ("z", 3),
    ("x", 1),
)


class Bottom(NamedTuple):
    """How a centre gets to the bottom: the rotation as written, and the hold after it."""

    rotation: str
    hold: int


def _bottoms() -> tuple[tuple[Bottom, ...], ...]:
    table: list[tuple[Bottom, ...]] = []
    for number, hold in enumerate(HOLDS):
        row: list[Bottom] = []
        for centre in range(6):
            rotation = _ROTATION_TO_BOTTOM[hold.index(centre)]
            if rotation is None:
                row.append(Bottom("", number))
            else:
                name, quarters = rotation
                written = name + ("", "2", "'")[quarters - 1]
                row.append(Bottom(written, rotate(number, name, quarters)))
        table.append(tuple(row))
    return tuple(table)


BOTTOMS: Final[tuple[tuple[Bottom, ...], ...]] = _bottoms()
"""``BOTTOMS[h][centre]``: in hold ``h``, bringing a centre to the bottom."""
