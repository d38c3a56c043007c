"""Scrambles: a state of the whole cube drawn at random, turned into face turns.

The state is uniform over all that need at least two turns (WCA 4b3); the
two-phase search finds turns that make it. The search is bounded in steps,
never in time, so a seed gives the same scrambles on every machine.
"""

from __future__ import annotations

from functools import cache
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from solverworker.cube.chance import Source, Stream, new_seed, random_cube
from solverworker.cube.draw import STATE_DRAWN, Drawing
from solverworker.cube.holds import UNLABEL, rotate
from solverworker.cube.in_hold import seen_in
from solverworker.cube.turns import inverse, write_turns
from solverworker.cube.whole import Cube, inverted
from solverworker.search.phase_kernels import LONGEST, solve_views
from solverworker.search.phase_tables import phase_tables

MOST_TURNS: Final = 22
"""No scramble is longer."""

MOST_STEPS: Final = 100_000_000
"""Bound on the search; 25,000 steps is the mean, and a million has not been seen."""

# Called with its tables unpacked, which a type checker cannot follow.
_solve_views: Final[Any] = solve_views


class NoScrambleFound(RuntimeError):
    """The search used up its steps: not known to happen."""


def turns_to(cube: Cube) -> tuple[int, ...]:
    """Return turns that make a state of a solved cube: at most 22.

    Never two turns of one face in a row. Raises ValueError when no turns can
    make the state, and NoScrambleFound.

    >>> from solverworker.cube.whole import after
    >>> after(turns_to(after([0, 3, 7]))) == after([0, 3, 7])
    True
    """
    if not cube.is_legal:
        raise ValueError("No turns make this state.")
    views = _views(cube)
    out = np.empty(LONGEST, dtype=np.uint8)
    result = np.zeros(2, dtype=np.int64)
    length = int(_solve_views(views, MOST_TURNS, MOST_STEPS, *_tables(), result, out))
    if length < 0:
        raise NoScrambleFound(f"No scramble was found in {MOST_STEPS:,} steps.")
    return _back(tuple(out[:length].tolist()), int(result[0]))


def draw_scramble(source: Source) -> str:
    """Return a scramble of a random state.

    >>> draw_scramble(Stream("lantern")) == draw_scramble(Stream("lantern"))
    True
    """
    return write_turns(turns_to(random_cube(source)))


def draw_scrambles(count: int, seed: str | None = None) -> Drawing:
    """Return ``count`` scrambles as drawn, and the seed that gives them again.

    Scramble ``n`` (from 1) comes from a stream of its own, ``seed/n``, so that
    it does not depend on how many are drawn. Without a seed a fresh one is
    taken from the system's secure source. Raises ValueError for less than none.

    >>> draw_scrambles(2, "lantern").texts == draw_scrambles(3, "lantern").texts[:2]
    True
    """
    if count < 0:
        raise ValueError(f"Scrambles are drawn from none upwards, not {count} of them.")
    seed = new_seed() if seed is None else seed
    texts = [draw_scramble(stream_of(seed, number)) for number in range(1, count + 1)]
    return Drawing(STATE_DRAWN, seed, tuple(texts))


def stream_of(seed: str, number: int) -> Stream:
    """Return the stream of the scramble with a number (from 1) of a seed."""
    return Stream(f"{seed}/{number}")


@cache
def _tables() -> tuple[npt.NDArray[Any], ...]:
    table = phase_tables()
    return tuple(
        table[name]
        for name in (
            "twist",
            "flip",
            "four",
            "middle",
            "middle_of_four",
            "pattern_of_four",
            "upper_of_four",
            "corners",
            "edges",
            "middles",
            "twist_middle",
            "flip_middle",
            "twist_flip",
            "corners_middles",
            "edges_middles",
        )
    )


# Holds in which each of the three axes stands upright.
_HOLDS: Final = (0, rotate(0, "z", 1), rotate(0, "x", 1))

_MIDDLE, _TOP, _BOTTOM = slice(4, 8), slice(0, 4), slice(8, 12)


def _views(cube: Cube) -> npt.NDArray[np.int64]:
    """Return the numbers of the cube seen along each axis, and of its inverse: int64, 6 × 6."""
    return np.array(
        [
            _numbers(one)
            for hold in _HOLDS
            for seen in [seen_in(cube, hold)]
            for one in (seen, inverted(seen))
        ],
        dtype=np.int64,
    )


def _numbers(cube: Cube) -> list[int]:
    """Return twist, flip, the three fours and corners of a cube as the kernels want them."""
    twist = sum(state % 3 * 3 ** (state // 3) for state in cube.corners if state < 21)
    flip = sum(state % 2 << state // 2 for state in cube.edges if state < 22)
    edges = [state // 2 for state in cube.edges]
    corners = [state // 3 for state in cube.corners]
    last = sorted(corners[4:])
    return [
        twist,
        flip,
        *(_number_of_order(edges[four], 12) for four in (_MIDDLE, _TOP, _BOTTOM)),
        _number_of_order(corners[:4], 8) * 24
        + _number_of_order([last.index(place) for place in corners[4:]], 4),
    ]


def _number_of_order(places: list[int], of: int) -> int:
    """Return the place of an order among all orders of as many out of ``of``, by the alphabet."""
    number = 0
    for index, place in enumerate(places):
        smaller = sum(1 for other in places[:index] if other < place)
        number = number * (of - index) + place - smaller
    return number


def _back(turns: tuple[int, ...], view: int) -> tuple[int, ...]:
    """Return the scramble that a view's solution means for the cube itself.

    A solution of the cube taken back makes it; one of its inverse makes it as it is.
    """
    unlabel = UNLABEL[_HOLDS[view // 2]]
    turns = tuple(unlabel[turn] for turn in turns)
    return turns if view % 2 else inverse(turns)
