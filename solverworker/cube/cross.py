"""Cross states: where the four edges of the bottom colour are.

A cross state is the edge states (0 to 23, see :mod:`solverworker.cube.pieces`)
of the four edges whose homes are DF, DR, DB, DL, seen in a hold with the cross
colour at the bottom. The reference sticker of each is the one of the cross
colour: an edge is unflipped when that faces up or down or, in the middle
layer, front or back.

12 * 11 * 10 * 9 places and 2**4 flips make 190,080 states. Two numberings:
the **rank** (0 to 190,079) counts them without holes and is what is stored;
the **code** (base 24, below 331,776) has holes and is what kernels index by,
because a turn acts on it by two small tables.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from solverworker.cube.pieces import EDGE_TURNS

CrossState = tuple[int, int, int, int]

STATE_COUNT: Final = 190_080
CODE_COUNT: Final = 24**4

SOLVED: Final[CrossState] = (16, 18, 20, 22)


def turned(state: CrossState, turn: int) -> CrossState:
    """Return the state after a turn (0 to 17)."""
    row = EDGE_TURNS[turn]
    a, b, c, d = state
    return (row[a], row[b], row[c], row[d])


def after(turns: Iterable[int], state: CrossState = SOLVED) -> CrossState:
    """Return the state after turns, from the solved cross unless another is given.

    >>> after([]) == SOLVED
    True
    """
    for turn in turns:
        state = turned(state, turn)
    return state


def code(state: CrossState) -> int:
    """Return the code (base 24) of a state."""
    a, b, c, d = state
    return ((a * 24 + b) * 24 + c) * 24 + d


def state_of_code(number: int) -> CrossState:
    """Return the state of a code (0 to 331,775); codes with no state are not looked for."""
    front, d = divmod(number, 24)
    front, c = divmod(front, 24)
    a, b = divmod(front, 24)
    return (a, b, c, d)


def rank(state: CrossState) -> int:
    """Return the rank of a state: places in lexicographic order, then flips.

    >>> rank((0, 2, 4, 6)), rank((23, 21, 19, 17))
    (0, 190079)
    """
    places = [edge >> 1 for edge in state]
    result = 0
    for index, place in enumerate(places):
        before = sum(1 for other in places[:index] if other < place)
        result = result * (12 - index) + place - before
    for edge in state:
        result = 2 * result + (edge & 1)
    return result


def unrank(number: int) -> CrossState:
    """Return the state of a rank. Raises ValueError outside 0 to 190,079.

    >>> unrank(rank(SOLVED)) == SOLVED
    True
    """
    if not 0 <= number < STATE_COUNT:
        raise ValueError(f"A rank is 0 to {STATE_COUNT - 1}, not {number}.")
    order, flips = divmod(number, 16)
    digits: list[int] = []
    for size in (9, 10, 11, 12):
        order, digit = divmod(order, size)
        digits.insert(0, digit)
    free = list(range(12))
    places = [free.pop(digit) for digit in digits]
    a, b, c, d = (
        2 * place + (flips >> shift & 1) for place, shift in zip(places, (3, 2, 1, 0), strict=True)
    )
    return (a, b, c, d)


def in_base(edge: int) -> bool:
    """Whether an edge state (0 to 23) is in the bottom layer, cross colour down."""
    return edge >= 16 and edge % 2 == 0


def offset(edge: int, home: int) -> int:
    """Return how far round from its home (0 to 3) an edge in the base is."""
    return (edge // 2 - 8 - home) % 4


def need(edge: int) -> int:
    """Return the least number of turns that bring an edge into the base, at any slot."""
    if in_base(edge):
        return 0
    place, flipped = divmod(edge, 2)
    in_middle = 4 <= place < 8
    up = place < 4 and not flipped
    return 1 if in_middle or up else 2


def edges_home(state: CrossState) -> int:
    """Return how many of the four edges are home, the right way round."""
    return sum(1 for edge, home in zip(state, SOLVED, strict=True) if edge == home)


def edges_relative(state: CrossState) -> int:
    """Return how many edges lie right relative to each other, off their centres.

    They lie at the bottom, the cross colour down, all equally far round from
    home; one alone is right relative to nothing.

    >>> edges_relative(after([9])), edges_relative(after([9, 3]))
    (4, 3)
    """
    offsets = [offset(edge, home) for home, edge in enumerate(state) if in_base(edge)]
    most = max((offsets.count(far) for far in (1, 2, 3)), default=0)
    return most if most > 1 else 0
