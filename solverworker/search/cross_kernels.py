"""Kernels on cross states: arrays in, arrays out.

A state is a pair of *halves*: ``p`` holds the first two edges, ``q`` the last
two, each ``24 * one + other`` (below 576), so its code is ``576 * p + q``.
``pair_turns[turn, half]`` is the half after a turn.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from solverworker.cube.turns import TURN_NAMES
from solverworker.search.compiling import kernel

ALPHABETICAL = np.array(
    sorted(range(18), key=lambda turn: TURN_NAMES[turn]), dtype=np.int64
)  # tried in this order, solutions come in the order of their texts

UNSEEN = 255
"""What stands in a distance table where no state is, or none has been reached yet."""


@kernel("void(uint16[:, ::1], int64, uint8[::1], int32[::1])")
def fill_distances(
    pair_turns: npt.NDArray[np.uint16],
    solved: int,
    distances: npt.NDArray[np.uint8],
    queue: npt.NDArray[np.int32],
) -> None:
    """Fill ``distances`` (all UNSEEN before) by breadth first from code ``solved``.

    ``queue``: room for every state (190,080).
    """
    distances[solved] = 0
    queue[0] = solved
    head, tail = 0, 1
    while head < tail:
        code = queue[head]
        head += 1
        further = distances[code] + 1
        p, q = code // 576, code % 576
        for turn in range(18):
            reached = np.int32(pair_turns[turn, p]) * 576 + pair_turns[turn, q]
            if distances[reached] == UNSEEN:
                distances[reached] = further
                queue[tail] = reached
                tail += 1


@kernel("void(int32[::1])")
def fill_codes(codes: npt.NDArray[np.int32]) -> None:
    """Fill ``codes[rank]`` with the code of each state, in the order of ranks."""
    rank = 0
    for a in range(12):
        for b in range(12):
            if b == a:
                continue
            for c in range(12):
                if c in (a, b):
                    continue
                for d in range(12):
                    if d in (a, b, c):
                        continue
                    for flips in range(16):
                        codes[rank] = (
                            (2 * a + (flips >> 3 & 1)) * 13824
                            + (2 * b + (flips >> 2 & 1)) * 576
                            + (2 * c + (flips >> 1 & 1)) * 24
                            + 2 * d
                            + (flips & 1)
                        )
                        rank += 1


# Where a lone set bit stands, by its remainder: powers of 2 below the 36th differ by 37.
LOWEST_BIT = np.zeros(37, dtype=np.int64)
for _bit in range(18):
    LOWEST_BIT[2**_bit % 37] = _bit

# By face: the turns (as bits of a descent) that may follow. The face just turned would waste a
# move; the first face of its axis after the second would stand out of order in the moment.
_MAY_FOLLOW = np.array(
    [
        sum(
            1 << bit
            for bit, turn in enumerate(ALPHABETICAL)
            if turn // 3 != face and turn // 3 + 3 != face
        )
        for face in range(6)
    ],
    dtype=np.int64,
)


@kernel("void(uint16[:, ::1], uint8[::1], Array(int32, 1, 'C', True), uint32[::1])")
def fill_descents(
    pair_turns: npt.NDArray[np.uint16],
    distances: npt.NDArray[np.uint8],
    codes: npt.NDArray[np.int32],
    descents: npt.NDArray[np.uint32],
) -> None:
    """Fill, for each code, the turns that lower the distance: bits in alphabetical order."""
    for index in range(codes.shape[0]):
        code = codes[index]
        p, q = code // 576, code % 576
        found = 0
        for bit in range(18):
            turn = ALPHABETICAL[bit]
            reached = np.int64(pair_turns[turn, p]) * 576 + pair_turns[turn, q]
            if distances[reached] < distances[code]:
                found |= 1 << bit
        descents[code] = found


@kernel("int64(uint16[:, ::1], uint32[::1], int64, int64, uint8[:, ::1])")
def fill_solutions(
    pair_turns: npt.NDArray[np.uint16],
    descents: npt.NDArray[np.uint32],
    code: int,
    length: int,
    out: npt.NDArray[np.uint8],
) -> int:
    """Enumerate every shortest solution of a state in canonical form.

    ``length``: the state's distance. Depth first, turns in alphabetical
    order, so rows come in the order of their texts. A row of ``out`` (any
    rows × 8) holds the turns of one solution. Returns how many there are;
    those that find no room are counted but not written.
    """
    if length == 0:
        return 1
    found = 0
    halves_p = np.empty(9, np.int64)
    halves_q = np.empty(9, np.int64)
    path = np.empty(9, np.uint8)
    left = np.empty(9, np.int64)  # the turns not yet tried at each depth
    halves_p[0], halves_q[0] = code // 576, code % 576
    left[0] = descents[code]
    depth = 0
    last = length - 1
    while depth >= 0:
        bits = left[depth]
        if bits == 0:
            depth -= 1
            continue
        lowest = bits & -bits
        left[depth] = bits ^ lowest
        turn = ALPHABETICAL[LOWEST_BIT[lowest % 37]]
        path[depth] = turn
        if depth == last:
            if found < out.shape[0]:
                for index in range(length):
                    out[found, index] = path[index]
            found += 1
            continue
        p = np.int64(pair_turns[turn, halves_p[depth]])
        q = np.int64(pair_turns[turn, halves_q[depth]])
        depth += 1
        halves_p[depth], halves_q[depth] = p, q
        left[depth] = descents[p * 576 + q] & _MAY_FOLLOW[turn // 3]
    return found


@kernel("void(uint8[:, ::1], int64, uint8[::1], int64[::1])")
def count_common_starts(
    solutions: npt.NDArray[np.uint8],
    length: int,
    plan: npt.NDArray[np.uint8],
    out: npt.NDArray[np.int64],
) -> None:
    """Count the turns that each solution shares with a plan from the start.

    Both in normal form and canonical order; ``length`` turns a solution (a
    row). Whole moments while they are equal, then the equal turns of the
    first moment in which they differ.
    """
    for row in range(solutions.shape[0]):
        shared = 0
        start = 0  # where the moment begins, in both
        while start < length and start < plan.shape[0]:
            axis = plan[start] // 3 % 3
            plan_end, row_end = start, start
            while plan_end < plan.shape[0] and plan[plan_end] // 3 % 3 == axis:
                plan_end += 1
            while row_end < length and solutions[row, row_end] // 3 % 3 == axis:
                row_end += 1
            equal = 0
            for one in range(start, plan_end):
                for other in range(start, row_end):
                    if plan[one] == solutions[row, other]:
                        equal += 1
            shared += equal
            if equal < plan_end - start or equal < row_end - start:
                break
            start = plan_end
        out[row] = shared


@kernel("void(uint16[:, ::1], int64, int64, uint8[::1], uint8[:, ::1], int32[:, ::1])")
def follow(
    pair_turns: npt.NDArray[np.uint16],
    solved: int,
    skip: int,
    turns: npt.NDArray[np.uint8],
    relabellings: npt.NDArray[np.uint8],
    out: npt.NDArray[np.int32],
) -> None:
    """Follow turns from the solved cross, as seen in several holds at once.

    ``turns``: turns of centres' faces. ``relabellings[row, turn]``: the turn as
    written in a hold. ``out[row, at]``: the code after ``skip + at`` turns, for
    every ``at`` from 0 to ``len(turns) - skip``.
    """
    for row in range(relabellings.shape[0]):
        p, q = np.int64(solved // 576), np.int64(solved % 576)
        for index in range(turns.shape[0]):
            if index >= skip:
                out[row, index - skip] = p * 576 + q
            turn = relabellings[row, turns[index]]
            p = np.int64(pair_turns[turn, p])
            q = np.int64(pair_turns[turn, q])
        out[row, turns.shape[0] - skip] = p * 576 + q
