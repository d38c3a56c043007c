"""The numbers by which the two-phase search knows a cube, and what turns do to them.

Phase one brings a cube into the subgroup of U, D and half turns of the other
faces; phase two solves it there with these turns alone. Phase one looks at

* ``twist`` (2,187): how the first seven corners lie,
* ``flip`` (2,048): how the first eleven edges lie,
* ``middle`` (495): which places the four edges of the middle layer take.

Phase two looks at ``corners`` and ``edges`` (40,320 each): the orders of the
corners and of the edges of top and bottom, and ``middles`` (24): the order of
the edges of the middle layer. An order of eight is numbered as ``24 *`` (the
places of the first four among all 1,680) ``+`` (the pattern of the last four).

A pruning table holds, for two such numbers together, the least turns that
bring both home: a bound from below on what is left. In a **guide** each entry
also tells which turns lower the bound and which do not raise it, so that the
search asks once for all turns; only ``twist_flip`` is too large for that.
"""

from __future__ import annotations

from functools import cache
from itertools import permutations
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from solverworker.cube.pieces import CORNER_TURNS, EDGE_TURNS
from solverworker.search.compiling import kernel
from solverworker.sources import behind, digest
from solverworker.tablefile import Table, load_or_make

NAME: Final = "scrambling"

TWISTS: Final = 3**7
FLIPS: Final = 2**11
MIDDLES: Final = 495
EIGHTS: Final = 40_320

PHASE_TWO: Final = (0, 1, 2, 4, 7, 9, 10, 11, 13, 16)
"""U, D and the half turns of R, F, L, B."""

Shorts = npt.NDArray[np.uint16]
Bytes = npt.NDArray[np.uint8]


@kernel("void(uint16[:, ::1], uint16[:, ::1], int64[::1], int64, int64, uint8[::1])")
def fill_pruning(
    one: Shorts,
    other: Shorts,
    turns: npt.NDArray[np.int64],
    home_one: int,
    home_other: int,
    out: Bytes,
) -> None:
    """Fill the least turns for each pair of numbers (``one * len(other) + other``).

    ``one``, ``other``: numbers after each of the 18 turns; ``turns``: those
    that may be used. Breadth first, each layer a walk through the table.
    """
    size = other.shape[0]
    out[:] = 255
    out[home_one * size + home_other] = 0
    left = out.shape[0] - 1
    distance = 0
    while left > 0:
        before = left
        for first in range(one.shape[0]):
            for second in range(size):
                if out[first * size + second] != distance:
                    continue
                for index in range(turns.shape[0]):
                    turn = turns[index]
                    reached = np.int64(one[first, turn]) * size + np.int64(other[second, turn])
                    if out[reached] == 255:
                        out[reached] = distance + 1
                        left -= 1
        if left == before:
            break
        distance += 1


@kernel("void(uint16[:, ::1], uint16[:, ::1], int64[::1], uint8[::1], uint64[::1])")
def fill_guides(
    one: Shorts,
    other: Shorts,
    turns: npt.NDArray[np.int64],
    bounds: Bytes,
    out: npt.NDArray[np.uint64],
) -> None:
    """Fill, from a pruning table, which turns are worth trying at each pair of numbers.

    Of ``n`` turns: bits 0 to 3 the bound; the next ``n`` the turns that lower
    it; the next ``n`` those that do not raise it.
    """
    size = other.shape[0]
    for first in range(one.shape[0]):
        for second in range(size):
            bound = bounds[first * size + second]
            lower, same = np.uint64(0), np.uint64(0)
            for index in range(turns.shape[0]):
                turn = turns[index]
                reached = np.int64(one[first, turn]) * size + np.int64(other[second, turn])
                bit = np.uint64(1) << np.uint64(index)
                if bounds[reached] < bound:
                    lower |= bit
                if bounds[reached] <= bound:
                    same |= bit
            out[first * size + second] = (
                np.uint64(bound) | lower << np.uint64(4) | same << np.uint64(4 + turns.shape[0])
            )


def _fours() -> list[tuple[int, ...]]:
    """List the places (of 12) of four edges in order, as cross states count them."""
    return list(permutations(range(12), 4))


def _eights() -> list[tuple[int, ...]]:
    """List the orders of eight by number."""
    return [
        first + tuple(rest[index] for index in pattern)
        for first in permutations(range(8), 4)
        for rest in [[place for place in range(8) if place not in first]]
        for pattern in permutations(range(4))
    ]


def make_table() -> Table:
    """Return all tables of the search, made anew (about a second)."""
    edge_place = np.array(EDGE_TURNS)[:, ::2] // 2
    corner_place = np.array(CORNER_TURNS)[:, ::3] // 3
    all_turns = np.arange(18)
    some_turns = np.array(PHASE_TWO)
    fours = np.array(_fours())
    key = (12 ** np.arange(3, -1, -1)).astype(np.int64)
    number_of_four = np.full(12**4, -1)
    number_of_four[fours @ key] = np.arange(len(fours))
    four_turns = number_of_four[edge_place[:, fours] @ key].T

    # A four's set of places, and its pattern: which order its places come in.
    sets = np.sort(fours, axis=1)
    _, middle_of_four = np.unique(sets @ key, return_inverse=True)
    patterns = {tuple(p): n for n, p in enumerate(permutations(range(4)))}
    pattern_of_four = np.array([patterns[tuple(row)] for row in fours.argsort(1).argsort(1)])
    some_four_of_middle = np.unique(middle_of_four, return_index=True)[1]
    middle_turns = middle_of_four[four_turns[some_four_of_middle]]

    # Orders of eight: corners, and edges of top and bottom (places 0-3, 8-11 as 0-7).
    eights = np.array(_eights())
    eight_key = (8 ** np.arange(7, -1, -1)).astype(np.int64)
    order = np.argsort(eights @ eight_key)
    sorted_keys = (eights @ eight_key)[order]

    def number_of_eight(rows: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
        return order[np.searchsorted(sorted_keys, rows @ eight_key)]

    corner_turns = np.stack([number_of_eight(row[eights]) for row in corner_place], axis=1)
    outer = np.array([0, 1, 2, 3, 8, 9, 10, 11])
    to_eight = np.full(12, -1)
    to_eight[outer] = np.arange(8)
    edge_turns = np.zeros((EIGHTS, 18), dtype=np.int64)
    for turn in PHASE_TWO:
        edge_turns[:, turn] = number_of_eight(to_eight[edge_place[turn][outer[eights]]])
    middles_turns = np.zeros((24, 18), dtype=np.int64)
    in_middle = np.array([4, 5, 6, 7])[np.array(list(permutations(range(4))))]
    middle_numbers = number_of_four[in_middle @ key]
    for turn in PHASE_TWO:
        middles_turns[:, turn] = pattern_of_four[four_turns[middle_numbers, turn]]
    upper_of_four = np.full(len(fours), 65_535)
    inside = np.all(to_eight[fours] >= 0, axis=1)
    firsts = {first: n for n, first in enumerate(permutations(range(8), 4))}
    upper_of_four[inside] = [firsts[tuple(row)] for row in to_eight[fours[inside]].tolist()]

    twists = np.array([_digits(number, 3, 7) for number in range(TWISTS)])
    flips = np.array([_digits(number, 2, 11) for number in range(FLIPS)])
    table: dict[str, npt.NDArray[Any]] = {
        "twist": _lies(twists, np.array(CORNER_TURNS), 3),
        "flip": _lies(flips, np.array(EDGE_TURNS), 2),
        "four": four_turns.astype(np.uint16),
        "middle": middle_turns.astype(np.uint16),
        "middle_of_four": middle_of_four.astype(np.uint16),
        "pattern_of_four": pattern_of_four.astype(np.uint16),
        "upper_of_four": upper_of_four.astype(np.uint16),
        "corners": corner_turns.astype(np.uint16),
        "edges": edge_turns.astype(np.uint16),
        "middles": middles_turns.astype(np.uint16),
    }
    table = {name: np.ascontiguousarray(array) for name, array in table.items()}
    home = int(middle_of_four[number_of_four[np.array([4, 5, 6, 7]) @ key]])
    for name, one, other, turns, at_home in (
        ("twist_middle", "twist", "middle", all_turns, home),
        ("flip_middle", "flip", "middle", all_turns, home),
        ("twist_flip", "twist", "flip", all_turns, 0),
        ("corners_middles", "corners", "middles", some_turns, 0),
        ("edges_middles", "edges", "middles", some_turns, 0),
    ):
        bounds = np.empty(len(table[one]) * len(table[other]), dtype=np.uint8)
        fill_pruning(table[one], table[other], turns, 0, at_home, bounds)
        table[name] = bounds
    for name, one, other, turns in (
        ("twist_middle", "twist", "middle", all_turns),
        ("flip_middle", "flip", "middle", all_turns),
        ("corners_middles", "corners", "middles", some_turns),
        ("edges_middles", "edges", "middles", some_turns),
    ):
        guides = np.empty(len(table[name]), dtype=np.uint64)
        fill_guides(table[one], table[other], turns, table[name], guides)
        table[name] = guides if len(turns) == 18 else guides.astype(np.uint32)
    return table


def _digits(number: int, base: int, count: int) -> list[int]:
    """Return ``count`` digits and one more that makes their sum a multiple of the base."""
    digits = [number // base**power % base for power in range(count)]
    return [*digits, -sum(digits) % base]


def _lies(lies: npt.NDArray[np.int64], turns: npt.NDArray[np.int64], base: int) -> Shorts:
    """Return how pieces lie, place by place (digits), after each turn: numbers × 18."""
    count = lies.shape[1]
    out = np.empty((len(lies), 18), dtype=np.uint16)
    weights = base ** np.arange(count - 1)
    for turn in range(18):
        after = np.empty_like(lies)
        for place in range(count):
            goal, more = divmod(int(turns[turn, base * place]), base)
            after[:, goal] = (lies[:, place] + more) % base
        out[:, turn] = after[:, :-1] @ weights
    return out


@cache
def version() -> str:
    """Return a digest of the sources from which the tables are made."""
    return digest(behind(__name__))


@cache
def phase_tables() -> Table:
    """Return the tables, mapped from their file or made first."""
    return load_or_make(NAME, version(), make_table)
