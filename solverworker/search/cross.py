"""The distance of every cross, and all its shortest solutions."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, cached_property
from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.cube.cross import CODE_COUNT, SOLVED, STATE_COUNT, CrossState, code
from solverworker.cube.pieces import EDGE_TURNS
from solverworker.search.cross_kernels import (
    UNSEEN,
    count_common_starts,
    fill_codes,
    fill_descents,
    fill_distances,
    fill_solutions,
    follow,
)

MAX_DISTANCE: Final = 8
"""No cross needs more face turns."""

SOLVED_CODE: Final = code(SOLVED)

MAX_SOLUTIONS: Final = 508
"""No cross has more shortest solutions in canonical form (found by counting them all)."""


class CrossTables:
    """The tables that kernels read, made once a process.

    ``pair_turns``: uint16, 18 × 576; ``distances``: uint8, by code, 255 where
    no state is. Not to be written to.
    """

    def __init__(self) -> None:
        edge_turns = np.array(EDGE_TURNS, dtype=np.uint16)
        pairs = edge_turns[:, :, None] * np.uint16(24) + edge_turns[:, None, :]
        self.pair_turns: npt.NDArray[np.uint16] = np.ascontiguousarray(pairs.reshape(18, 576))
        self.distances: npt.NDArray[np.uint8] = np.full(CODE_COUNT, UNSEEN, dtype=np.uint8)
        fill_distances(
            self.pair_turns, SOLVED_CODE, self.distances, np.empty(STATE_COUNT, dtype=np.int32)
        )

    @cached_property
    def descents(self) -> npt.NDArray[np.uint32]:
        """By code, the turns that lower the distance: bits in alphabetical order (uint32)."""
        found = np.zeros(CODE_COUNT, dtype=np.uint32)
        fill_descents(self.pair_turns, self.distances, codes(), found)
        return found


@cache
def tables() -> CrossTables:
    """Return the tables, made on first use (about 10 ms)."""
    return CrossTables()


@cache
def codes() -> npt.NDArray[np.int32]:
    """Return the code of each state by rank: int32, 190,080."""
    result = np.empty(STATE_COUNT, dtype=np.int32)
    fill_codes(result)
    result.flags.writeable = False
    return result


def distance_table() -> npt.NDArray[np.uint8]:
    """Return the distance of each state by rank: uint8, 190,080 values of 0 to 8.

    >>> table = distance_table()
    >>> int(table.max()), int((table == 8).sum())
    (8, 102)
    """
    return tables().distances[codes()]


def distance(state: CrossState) -> int:
    """Return the least number of face turns that solve a state.

    Raises ValueError when two edges share a place.

    >>> from solverworker.cube.cross import after
    >>> distance(after([3, 9]))
    2
    """
    return distance_of_code(_checked_code(state))


def distance_of_code(number: int) -> int:
    """Return the distance of the state with a code."""
    return int(tables().distances[number])


def shortest_solutions(state: CrossState) -> list[tuple[int, ...]]:
    """Return every shortest solution of a state, as tuples of turns.

    In canonical form (inside a moment U before D, R before L, F before B), so
    each stands once, and sorted by their texts. Raises ValueError when
    two edges share a place.

    >>> from solverworker.cube.cross import after
    >>> from solverworker.cube.turns import write_turns
    >>> [write_turns(turns) for turns in shortest_solutions(after([3, 9]))]
    ["D' R'"]
    """
    number = _checked_code(state)
    length = distance_of_code(number)
    return [tuple(row[:length]) for row in solutions_of_code(number).tolist()]


def solutions_of_code(number: int) -> npt.NDArray[np.uint8]:
    """Return the shortest solutions of the state with a code: uint8, count × 8.

    Only the first ``distance_of_code(number)`` columns mean anything.
    """
    held = tables()
    out = np.empty((MAX_SOLUTIONS, MAX_DISTANCE), dtype=np.uint8)
    length = int(held.distances[number])
    count = fill_solutions(held.pair_turns, held.descents, number, length, out)
    return out[:count]


def common_starts(
    solutions: npt.NDArray[np.uint8], length: int, plan: Iterable[int]
) -> npt.NDArray[np.int64]:
    """Return how many turns each solution shares with a plan from the start.

    ``solutions``: as :func:`solutions_of_code` gives them, ``length`` turns
    each; ``plan``: turns in normal form and canonical order, written in the
    same hold. Whole moments count while they are equal, then the equal turns
    of the first moment in which the two differ.
    """
    out = np.empty(len(solutions), dtype=np.int64)
    count_common_starts(solutions, length, _turn_array(plan), out)
    return out


def first_solution_of_code(number: int) -> tuple[int, ...]:
    """Return the first shortest solution (by text) of the state with a code."""
    held = tables()
    out = np.empty((1, MAX_DISTANCE), dtype=np.uint8)
    length = int(held.distances[number])
    fill_solutions(held.pair_turns, held.descents, number, length, out)
    return tuple(out[0, :length].tolist())


def codes_along(
    turns: tuple[int, ...], skip: int, relabellings: npt.NDArray[np.uint8]
) -> npt.NDArray[np.int32]:
    """Return codes along a sequence of turns, as seen in several holds.

    ``turns``: turns of centres' faces from a solved cube; ``skip``: how many
    come before the first state wanted; ``relabellings``: uint8, holds × 18: each
    turn as it is written there. Returns int32, holds × (len(turns) - skip + 1).
    """
    held = tables()
    out = np.empty((relabellings.shape[0], len(turns) - skip + 1), dtype=np.int32)
    follow(
        held.pair_turns,
        SOLVED_CODE,
        skip,
        _turn_array(turns),
        relabellings,
        out,
    )
    return out


def warm_up() -> None:
    """Make every table; importing this module has loaded the kernels already."""
    _ = tables().descents


def _turn_array(turns: Iterable[int]) -> npt.NDArray[np.uint8]:
    """Return turns as an array that kernels take (a bytearray leaves it writable)."""
    return np.frombuffer(bytearray(turns), dtype=np.uint8)


def _checked_code(state: CrossState) -> int:
    if len({edge // 2 for edge in state if 0 <= edge < 24}) < 4:
        raise ValueError(f"{state} is not a cross state.")
    return code(state)
