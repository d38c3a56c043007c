"""The trace of a complete solving sequence: what the definitions of techniques speak of.

Words, each used in one sense throughout this package:

* A **moment** is a maximal run of neighbouring turns about one axis. Moments
  are numbered from 1; moment 0 is the start.
* An edge is **in the base** when it is in the bottom layer with the cross
  colour facing down. Its **offset** is (slot - home) mod 4, slots counted DF,
  DR, DB, DL = 0 to 3.
* The **need** of an edge is the least number of face turns that bring it into
  the base at any slot: 0 in the base; 1 in the middle layer, or in the top
  layer with the cross colour up; else 2.
* An edge is **settled** at the first moment after which it is in the base at
  the end of every moment (0: from the start). Settled edges always share one
  offset, the **base's offset**.
* A **base turn** is a turn of D, a **top turn** one of U, all others are
  **side turns**.

Two forms of the same: :class:`Trace` in plain Python, straight from
the words, and a kernel that fills arrays.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.cube.cross import SOLVED, CrossState, in_base, need, offset, turned
from solverworker.cube.moments import normal_form
from solverworker.cube.pieces import EDGE_TURNS
from solverworker.cube.turns import FACES
from solverworker.search.compiling import kernel

__all__ = [
    "BASE",
    "ROOM",
    "TOP",
    "TRACE_ARRAYS",
    "Bytes",
    "Numbers",
    "Trace",
    "TracedTurn",
    "fill_trace",
    "in_base",
    "need",
    "need_of",
    "offset",
    "turn_bit",
]

TOP: Final = FACES.index("U")
BASE: Final = FACES.index("D")


@dataclass(frozen=True, slots=True)
class TracedTurn:
    """One turn: its face (0 to 5), its moment (from 1), the edges before and after it."""

    face: int
    moment: int
    before: CrossState
    after: CrossState


@dataclass(frozen=True, slots=True)
class Trace:
    """A complete solving sequence in normal form, told in the package's words.

    ``turns``: every turn. ``ends[m]``: the state at the end of moment ``m``.
    ``settle[e]``: the moment at which edge ``e`` settles.
    """

    turns: tuple[TracedTurn, ...]
    ends: tuple[CrossState, ...]
    settle: tuple[int, int, int, int]

    @classmethod
    def of(cls, state: CrossState, turns: Iterable[int]) -> Trace:
        """Follow turns (0 to 17; brought to normal form first) from a state.

        Raises ValueError when they do not solve it.

        >>> from solverworker.cube.cross import after
        >>> Trace.of(after([3, 9]), [11, 5]).settle  # R D, then D' R'
        (0, 2, 0, 0)
        """
        traced: list[TracedTurn] = []
        ends = [state]
        for number, moment in enumerate(normal_form(turns), start=1):
            for turn in moment.turns:
                after = turned(state, turn)
                traced.append(TracedTurn(turn // 3, number, state, after))
                state = after
            ends.append(state)
        if state != SOLVED:
            raise ValueError("These turns do not solve the cross.")
        first, second, third, fourth = (_settles([end[edge] for end in ends]) for edge in range(4))
        return cls(tuple(traced), tuple(ends), (first, second, third, fourth))

    def base_offset(self, moment: int) -> int:
        """Return the base's offset at the end of a moment at which some edge is settled."""
        edge = next(edge for edge in range(4) if self.settle[edge] <= moment)
        return offset(self.ends[moment][edge], edge)


def _settles(along: list[int]) -> int:
    """Return the moment from which an edge, given at every moment's end, stays in the base."""
    settled = len(along) - 1
    while settled > 0 and in_base(along[settled - 1]):
        settled -= 1
    return settled


# The same in arrays. A sequence of n turns in normal form fills:
#   edges   uint8, (n + 1) x 4: the edges before each turn, and at the end
#   moment  int64, n: the moment of each turn
#   ends    int64, M + 1: how many turns are done at the end of each moment
#   settle  int64, 4
# How many turns (n) and moments (M) there are is told beside them.

TRACE_ARRAYS: Final = "uint8[:, ::1], uint8[::1], int64[::1], int64[::1], int64[::1], int64, int64"
"""What every technique's kernel takes: edges, turns, moment, ends, settle, n, M."""

ROOM: Final = 176
"""Most turns that arrays of one trace hold: 80 written tokens are at most 160 turns."""

Bytes = npt.NDArray[np.uint8]
Numbers = npt.NDArray[np.int64]

_EDGE_TURNS = np.array(EDGE_TURNS, dtype=np.uint8)
_NEEDS = np.array([need(edge) for edge in range(24)], dtype=np.uint8)


@kernel("int64(int64, uint8[::1], int64, uint8[:, ::1], int64[::1], int64[::1], int64[::1])")
def fill_trace(
    code: int,
    turns: Bytes,
    length: int,
    edges: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
) -> int:
    """Follow ``length`` turns in normal form from the state with a code. Returns M."""
    edges[0, 0] = code // 13824
    edges[0, 1] = code // 576 % 24
    edges[0, 2] = code // 24 % 24
    edges[0, 3] = code % 24
    moments = 0
    axis_before = -1
    ends[0] = 0
    for index in range(length):
        turn = turns[index]
        axis = turn // 3 % 3
        if axis != axis_before:
            moments += 1
            axis_before = axis
        moment[index] = moments
        ends[moments] = index + 1
        for edge in range(4):
            edges[index + 1, edge] = _EDGE_TURNS[turn, edges[index, edge]]
    for edge in range(4):
        settled = moments
        while settled > 0:
            before = edges[ends[settled - 1], edge]
            if before < 16 or before % 2 == 1:
                break
            settled -= 1
        settle[edge] = settled
    return moments


@kernel("int64(uint8)")
def need_of(edge: int) -> int:
    """Return :func:`need` of an edge state."""
    return int(_NEEDS[edge])


@kernel("int64(int64)")
def turn_bit(index: int) -> int:
    """Return the bit of a turn in a word of 63; the turns from place 62 on share the last."""
    return 1 << min(index, 62)
