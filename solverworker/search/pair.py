"""The cross and one pair together: distances and shortest solutions.

A pair is a corner and an edge of the first two layers that belong into one
slot. The slot looked at is the one front right (corner DFR, edge FR); the
other three are the same seen after turning the whole cube about the vertical.

The table holds the distance of each of the 72,990,720 states in half a byte.
It is made once (some seconds) and kept in a file that all processes map.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable
from functools import cache
from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.cube.cross import SOLVED, STATE_COUNT, CrossState, rank
from solverworker.cube.cross import after as cross_after
from solverworker.cube.pieces import CORNER_TURNS, EDGE_TURNS
from solverworker.search.cross import codes
from solverworker.search.pair_kernels import (
    ORDERS,
    ROW,
    SETS,
    UNSEEN,
    distance_in,
    fill_moves,
    fill_pair_solutions,
    gather,
    pack,
    spread,
)
from solverworker.sources import behind, digest
from solverworker.tablefile import Table, TableFileError, load_or_make, read

STATES: Final = STATE_COUNT * ROW
"""72,990,720."""

MAX_PAIR_DISTANCE: Final = 10

HOME_CORNER: Final = 12
HOME_EDGE: Final = 8
"""The states of the pair's corner (DFR) and edge (FR) when it stands in its slot."""

NAME: Final = "pair"

_LOG: Final = logging.getLogger(__name__)

# From this distance on most states are seen, and it is cheaper to look from the unseen ones.
_GATHER_FROM: Final = 8

OnProgress = Callable[[int, int], None]
"""Is told how many states of how many have their distance."""


@cache
def version() -> str:
    """Return a digest of the sources from which the table is made."""
    return digest(behind(__name__))


class PairMoves:
    """What turns do to states, as tables for the kernels; see ``pair_kernels``."""

    def __init__(self) -> None:
        self.orders: npt.NDArray[np.uint16] = np.empty((ORDERS, 18), dtype=np.uint16)
        self.flips: npt.NDArray[np.uint8] = np.empty((ORDERS, 18), dtype=np.uint8)
        self.sets: npt.NDArray[np.uint16] = np.empty(ORDERS, dtype=np.uint16)
        self.locals_after: npt.NDArray[np.uint8] = np.empty((SETS, 18, 16), dtype=np.uint8)
        fill_moves(codes(), self.orders, self.flips, self.sets, self.locals_after)


@cache
def moves() -> PairMoves:
    """Return the tables of turns, made on first use (some milliseconds)."""
    return PairMoves()


def number_of(cross: CrossState, corner: int, edge: int) -> int:
    """Return the number of a state.

    ``corner``, ``edge``: piece states (0 to 23) of the pair's two pieces.
    Raises ValueError when the edge is where a cross edge is.

    >>> number_of(SOLVED, HOME_CORNER, HOME_EDGE) == rank(SOLVED) * 384 + 12 * 16 + 8
    True
    """
    places = [state // 2 for state in cross]
    if edge // 2 in places or not (0 <= edge < 24 and 0 <= corner < 24):
        raise ValueError(f"{cross}, {corner}, {edge} is not a state of cross and pair.")
    before = sum(1 for place in places if place < edge // 2)
    return (rank(cross) * 24 + corner) * 16 + edge - 2 * before


def after(turns: Iterable[int]) -> int:
    """Return the number of the state that turns make of the solved one.

    >>> after([]) == number_of(SOLVED, HOME_CORNER, HOME_EDGE)
    True
    """
    turns = list(turns)
    corner, edge = HOME_CORNER, HOME_EDGE
    for turn in turns:
        corner, edge = CORNER_TURNS[turn][corner], EDGE_TURNS[turn][edge]
    return number_of(cross_after(turns), corner, edge)


def make_distances(
    progress: OnProgress | None = None,
) -> tuple[npt.NDArray[np.uint8], list[int]]:
    """Return the distance of every state by number, and how many states have each distance.

    uint8, 72,990,720. Takes some seconds.
    """
    held = moves()
    turning = (held.orders, held.flips, held.sets, held.locals_after)
    table = np.full(STATES, UNSEEN, dtype=np.uint8)
    touched = np.zeros(ORDERS, dtype=np.uint16)
    table[number_of(SOLVED, HOME_CORNER, HOME_EDGE)] = 0
    touched[rank(SOLVED) // 16] = 1
    counts: list[int] = []
    for distance in range(_GATHER_FROM):
        counts.append(spread(distance, table, touched, *turning))
        if progress:
            progress(sum(counts), STATES)
    counts.append(int(np.count_nonzero(table == _GATHER_FROM)))
    while sum(counts) < STATES:
        counts.append(gather(len(counts) - 1, table, *turning))
        if progress:
            progress(sum(counts), STATES)
    return table, counts


def make_table(progress: OnProgress | None = None) -> Table:
    """Return the table as it is kept: two distances a byte, and how many there are of each."""
    distances, counts = make_distances(progress)
    packed = np.empty(STATES // 2, dtype=np.uint8)
    pack(distances, packed)
    return {"packed": packed, "counts": np.array(counts, dtype=np.int64)}


class PairTable:
    """The finished table: ``packed`` (read-only, two distances a byte), ``by_distance``."""

    def __init__(self, table: Table) -> None:
        self.packed: npt.NDArray[np.uint8] = table["packed"]
        self.by_distance: dict[int, int] = dict(enumerate(table["counts"].tolist()))

    def distance(self, number: int) -> int:
        """Return the least number of face turns that solve cross and pair."""
        return int(distance_in(self.packed, number))

    def solutions(self, number: int) -> list[tuple[int, ...]]:
        """Return every shortest solution of a state, in canonical form and sorted by text."""
        held = moves()
        turning = (held.orders, held.flips, held.sets, held.locals_after)
        length = self.distance(number)
        out = np.empty((256, MAX_PAIR_DISTANCE), dtype=np.uint8)
        count = fill_pair_solutions(number, self.packed, *turning, out)
        if count > len(out):
            out = np.empty((count, MAX_PAIR_DISTANCE), dtype=np.uint8)
            fill_pair_solutions(number, self.packed, *turning, out)
        return [tuple(row[:length]) for row in out[:count].tolist()]


_held: list[PairTable] = []


def ready() -> PairTable | None:
    """Return the table if its file is there; None while it has yet to be made."""
    if not _held:
        try:
            _held.append(PairTable(read(NAME, version())))
        except TableFileError:
            return None
    return _held[0]


def table(progress: OnProgress | None = None) -> PairTable:
    """Return the table, made first when there is no sound file of it.

    ``progress`` is told of the making; without it the log is.
    """
    there = ready()
    if there is None:
        told = progress or _log_progress
        there = PairTable(load_or_make(NAME, version(), lambda: make_table(told)))
        _held[:] = [there]
    return there


def _log_progress(done: int, of: int) -> None:
    _LOG.info("Cross and first pair: %d %% of the table is made.", 100 * done // of)
