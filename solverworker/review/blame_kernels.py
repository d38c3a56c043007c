"""What blame is made of, in whole numbers: kernels behind :mod:`solverworker.review.blame`."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.search.compiling import kernel
from solverworker.search.cross import MAX_DISTANCE
from solverworker.search.cross_kernels import fill_solutions
from solverworker.techniques import TECHNIQUES
from solverworker.techniques.mask_kernels import mask_of_trace
from solverworker.techniques.trace import BASE, TOP, Bytes, Numbers, fill_trace

IDEAS: Final = len(TECHNIQUES)

# What is told of each moment, in columns: its loss, whether that is undone moves, how many
# solutions have the smallest gap, that gap's size, the techniques that every solution uses (a
# mask), those of the plan's own rest (a mask), and in how many of the kept gaps each idea is.
LOSS, IS_UNDONE, KEPT, GAP, EVERY, OWN, FIRST_IDEA = range(7)
COLUMNS: Final = FIRST_IDEA + IDEAS

# Where the gap is empty, rows of: the moment, how many more turns of all three sides the rest
# has than a solution, and of which, summed over the solutions with that many more.
AT, MORE, FIRST_SIDE = range(3)
SPARE_COLUMNS: Final = FIRST_SIDE + 3
DIFFERENT_SUMS: Final = MAX_DISTANCE + 1
"""A rest of n turns has between n - 8 and n more than a shortest solution."""


@kernel("int64(int64)")
def side(turn: int) -> int:
    """Return 0 for a base turn, 1 for a top turn, 2 for a side turn."""
    face = turn // 3
    if face == BASE:
        return 0
    return 1 if face == TOP else 2


@kernel("int64(uint16[:, ::1], uint8[::1], int64, uint8[::1], int64[::1], int64[::1], int64[::1])")
def fill_moments(
    pair_turns: npt.NDArray[np.uint16],
    distances: Bytes,
    code: int,
    turns: Bytes,
    starts: Numbers,
    codes: Numbers,
    far: Numbers,
) -> int:
    """Fill the first turn, code and distance of each moment, and of the end. Returns how many."""
    moments = 0
    p, q = code // 576, code % 576
    axis_before = -1
    for index in range(turns.shape[0] + 1):
        axis = int(turns[index]) // 3 % 3 if index < turns.shape[0] else 3
        if axis != axis_before:
            starts[moments] = index
            codes[moments] = p * 576 + q
            far[moments] = distances[p * 576 + q]
            moments += 1
            axis_before = axis
        if index < turns.shape[0]:
            p = int(pair_turns[turns[index], p])
            q = int(pair_turns[turns[index], q])
    return moments - 1


@kernel("boolean(int64[::1], int64, int64)")
def comes_again(codes: Numbers, at: int, moments: int) -> bool:
    """Whether a state at or before a moment's start comes again at or after its end."""
    for before in range(at + 1):
        for after in range(at + 1, moments + 1):
            if codes[before] == codes[after]:
                return True
    return False


@kernel(
    "int64(uint16[:, ::1], uint8[::1], uint32[::1], int64, uint8[::1], uint8[:, ::1], "
    "uint8[:, ::1], int64[::1], int64[::1], int64[::1], int64[:, ::1], int64[:, ::1], "
    "int64[:, ::1])"
)
def fill_review(
    pair_turns: npt.NDArray[np.uint16],
    distances: Bytes,
    descents: npt.NDArray[np.uint32],
    code: int,
    turns: Bytes,
    solutions: Bytes,
    edges: Bytes,
    moment: Numbers,
    ends: Numbers,
    settle: Numbers,
    room: Numbers,
    found: Numbers,
    spare: Numbers,
) -> int:
    """Look at every moment of a solving sequence in normal form, from the state with a code.

    ``solutions`` to ``settle``: room to work in; ``room``: more of it, 3 rows of
    one place more than there are turns. ``found``: zeros, a row a moment by the
    columns above. ``spare``: rows by their columns; returns how many it got.
    """
    length = turns.shape[0]
    starts, codes, far = room[0], room[1], room[2]
    moments = fill_moments(pair_turns, distances, code, turns, starts, codes, far)
    own_sides = np.empty(3, dtype=np.int64)
    more_sides = np.empty(3, dtype=np.int64)
    sums = np.empty((length + 1, 3), dtype=np.int64)
    rows = 0
    for at in range(moments):
        here, distance, start = int(codes[at]), int(far[at]), int(starts[at])
        rest = turns[start:]
        count = fill_trace(here, rest, length - start, edges, moment, ends, settle)
        own = int(mask_of_trace(edges, rest, moment, ends, settle, length - start, count))
        loss = starts[at + 1] - start + far[at + 1] - distance
        found[at, LOSS] = loss
        found[at, OWN] = own
        weigh = False
        if loss > 0:
            found[at, IS_UNDONE] = comes_again(codes, at, moments)
            weigh = not found[at, IS_UNDONE]
            own_sides[:] = 0
            sums[:, :] = 0
            for index in range(start, length):
                own_sides[side(turns[index])] += 1

        every, smallest, kept = (1 << IDEAS) - 1, IDEAS + 1, 0
        many = fill_solutions(pair_turns, descents, here, distance, solutions)
        for row in range(many):
            count = fill_trace(here, solutions[row], distance, edges, moment, ends, settle)
            mask = int(mask_of_trace(edges, solutions[row], moment, ends, settle, distance, count))
            every &= mask
            if not weigh:
                continue
            gap = mask & ~own
            size = 0
            for idea in range(IDEAS):
                size += gap >> idea & 1
            if size > smallest:
                continue
            if size < smallest:
                smallest, kept = size, 0
                found[at, FIRST_IDEA:] = 0
            kept += 1
            for idea in range(IDEAS):
                found[at, FIRST_IDEA + idea] += gap >> idea & 1
            if size == 0:
                # Number by number: to copy a row whole takes a sixth of all the compiling.
                for kind in range(3):
                    more_sides[kind] = own_sides[kind]
                for index in range(distance):
                    more_sides[side(solutions[row, index])] -= 1
                more = 0
                for kind in range(3):
                    more += max(more_sides[kind], 0)
                for kind in range(3):
                    sums[more, kind] += max(more_sides[kind], 0)
        found[at, EVERY] = every
        if weigh:
            found[at, KEPT] = kept
            found[at, GAP] = smallest
            for more in range(1, length + 1 if smallest == 0 else 1):
                if sums[more, 0] + sums[more, 1] + sums[more, 2] > 0:
                    spare[rows, AT] = at
                    spare[rows, MORE] = more
                    for kind in range(3):
                        spare[rows, FIRST_SIDE + kind] = sums[more, kind]
                    rows += 1
    return rows
