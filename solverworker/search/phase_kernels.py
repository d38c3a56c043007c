"""The two-phase search itself: deepening searches over numbers, bounded in steps.

Phase one tries lengths from the shortest on; each of its ends is looked at by
phase two, which may use what the target leaves. Six views of one cube are
searched in turn at each length: three axes, and the cube or its inverse.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.search.compiling import kernel
from solverworker.search.cross_kernels import LOWEST_BIT
from solverworker.search.phase_tables import PHASE_TWO

Shorts = npt.NDArray[np.uint16]
Bytes = npt.NDArray[np.uint8]
Numbers = npt.NDArray[np.int64]

LONGEST: Final = 24
"""Room for the turns of a solution."""

LONGEST_FIRST: Final = 12
"""No cube needs more turns in phase one."""

LONGEST_SECOND: Final = 11
"""Phase two is not searched deeper: another end of phase one is cheaper to find."""

_PHASE_TWO = np.array(PHASE_TWO, dtype=np.int64)

_SHORTS2: Final = "Array(uint16, 2, 'C', True)"
_SHORTS1: Final = "Array(uint16, 1, 'C', True)"
_BYTES1: Final = "Array(uint8, 1, 'C', True)"
_GUIDES: Final = "Array(uint64, 1, 'C', True)"
_SHORT_GUIDES: Final = "Array(uint32, 1, 'C', True)"

Guides = npt.NDArray[np.uint64]
ShortGuides = npt.NDArray[np.uint32]

# By the face turned last: the turns that may follow. That face again would
# waste a turn; the first face of an axis after the second stands out of order.
_MAY_FOLLOW = np.array(
    [
        sum(1 << turn for turn in range(18) if turn // 3 != face and turn // 3 + 3 != face)
        for face in range(6)
    ],
    dtype=np.int64,
)


# The same among phase two's turns; -1 (no face turned yet) finds the last entry: all.
_MAY_FOLLOW_SECOND = np.array(
    [
        sum(
            1 << index
            for index, turn in enumerate(PHASE_TWO)
            if turn // 3 != face and turn // 3 + 3 != face
        )
        for face in range(6)
    ]
    + [2 ** len(PHASE_TWO) - 1],
    dtype=np.int64,
)


@kernel("int64(int64, int64, int64)")
def worth_trying(guide: int, left: int, turns: int) -> int:
    """Return which of so many turns (bits) may leave no more than ``left - 1`` to do."""
    slack = left - (guide & 15)
    if slack == 0:
        guide >>= 4
    elif slack == 1:
        guide >>= 4 + turns
    else:
        guide = -1
    return guide & ((1 << turns) - 1)


@kernel(
    f"int64(int64, int64, int64, int64, int64, {_SHORTS2}, {_SHORTS2}, {_SHORTS2}, "
    f"{_SHORT_GUIDES}, {_SHORT_GUIDES}, int64[::1], uint8[::1], int64)"
)
def solve_second(
    corners: int,
    edges: int,
    middles: int,
    face_before: int,
    most: int,
    corners_after: Shorts,
    edges_after: Shorts,
    middles_after: Shorts,
    corners_middles: ShortGuides,
    edges_middles: ShortGuides,
    steps: Numbers,
    out: Bytes,
    start: int,
) -> int:
    """Solve phase two in at most ``most`` turns, written to ``out`` from ``start`` on.

    ``face_before``: the face turned last (-1: none). ``steps[0]`` steps were
    made, ``steps[1]`` may be; counted up. Returns how many turns, or -1.
    """
    c = np.empty(LONGEST_SECOND + 1, dtype=np.int64)
    e = np.empty(LONGEST_SECOND + 1, dtype=np.int64)
    m = np.empty(LONGEST_SECOND + 1, dtype=np.int64)
    untried = np.empty(LONGEST_SECOND + 1, dtype=np.int64)
    c[0], e[0], m[0] = corners, edges, middles
    by_corners = int(corners_middles[corners * 24 + middles])
    by_edges = int(edges_middles[edges * 24 + middles])
    for length in range(max(by_corners & 15, by_edges & 15), most + 1):
        if length == 0:
            return 0
        depth = 0
        untried[0] = (
            worth_trying(by_corners, length, 10)
            & worth_trying(by_edges, length, 10)
            & _MAY_FOLLOW_SECOND[face_before]
        )
        while depth >= 0:
            bits = untried[depth]
            if bits == 0:
                depth -= 1
                continue
            untried[depth] = bits & (bits - 1)
            turn = _PHASE_TWO[LOWEST_BIT[(bits & -bits) % 37]]
            steps[0] += 1
            out[start + depth] = turn
            left = length - depth - 1
            if left == 0:
                return length
            next_m = np.int64(middles_after[m[depth], turn])
            next_c = np.int64(corners_after[c[depth], turn])
            next_e = np.int64(edges_after[e[depth], turn])
            depth += 1
            c[depth], e[depth], m[depth] = next_c, next_e, next_m
            untried[depth] = (
                worth_trying(int(corners_middles[next_c * 24 + next_m]), left, 10)
                & worth_trying(int(edges_middles[next_e * 24 + next_m]), left, 10)
                & _MAY_FOLLOW_SECOND[turn // 3]
            )
        if steps[0] >= steps[1]:
            return -1
    return -1


@kernel(
    f"int64(int64[:, ::1], int64, int64, {_SHORTS2}, {_SHORTS2}, {_SHORTS2}, {_SHORTS2}, "
    f"{_SHORTS1}, {_SHORTS1}, {_SHORTS1}, {_SHORTS2}, {_SHORTS2}, {_SHORTS2}, "
    f"{_GUIDES}, {_GUIDES}, {_BYTES1}, {_SHORT_GUIDES}, {_SHORT_GUIDES}, int64[::1], "
    "uint8[::1])"
)
def solve_views(
    views: Numbers,
    target: int,
    budget: int,
    twist_after: Shorts,
    flip_after: Shorts,
    four_after: Shorts,
    middle_after: Shorts,
    middle_of_four: Shorts,
    pattern_of_four: Shorts,
    upper_of_four: Shorts,
    corners_after: Shorts,
    edges_after: Shorts,
    middles_after: Shorts,
    twist_middle: Guides,
    flip_middle: Guides,
    twist_flip: Bytes,
    corners_middles: ShortGuides,
    edges_middles: ShortGuides,
    result: Numbers,
    out: Bytes,
) -> int:
    """Solve a cube, seen in several ways, in at most ``target`` turns.

    ``views``: for each, twist, flip, the fours of the middle, top and bottom
    edges, and corners. The turns of the first solution found go to ``out``;
    ``result`` takes the view and the steps made. Returns how many turns, or
    -1 when ``budget`` steps found none.
    """
    twist = np.empty(LONGEST_FIRST + 1, dtype=np.int64)
    flip = np.empty(LONGEST_FIRST + 1, dtype=np.int64)
    middle = np.empty(LONGEST_FIRST + 1, dtype=np.int64)
    untried = np.empty(LONGEST_FIRST + 1, dtype=np.int64)
    steps = np.zeros(2, dtype=np.int64)
    steps[1] = budget
    result[0] = -1
    for length in range(LONGEST_FIRST + 1):
        most = min(target - length, LONGEST_SECOND)
        if most < 0:
            break
        for view in range(views.shape[0]):
            twist[0], flip[0] = views[view, 0], views[view, 1]
            middle[0] = middle_of_four[views[view, 2]]
            by_twist = int(twist_middle[twist[0] * 495 + middle[0]])
            by_flip = int(flip_middle[flip[0] * 495 + middle[0]])
            bound = max(by_twist & 15, by_flip & 15, twist_flip[twist[0] * 2048 + flip[0]])
            if bound > length:
                continue
            depth = 0
            untried[0] = worth_trying(int(by_twist), length, 18) & worth_trying(by_flip, length, 18)
            while depth >= 0:
                if depth == length:
                    corners, middles = int(views[view, 5]), int(views[view, 2])
                    for index in range(length):
                        corners = int(corners_after[corners, out[index]])
                        middles = int(four_after[middles, out[index]])
                    pattern = int(pattern_of_four[middles])
                    steps[0] += 1
                    if corners_middles[corners * 24 + pattern] & 15 <= most:
                        upper, lower = int(views[view, 3]), int(views[view, 4])
                        for index in range(length):
                            upper = int(four_after[upper, out[index]])
                            lower = int(four_after[lower, out[index]])
                        edges = int(upper_of_four[upper]) * 24 + int(pattern_of_four[lower])
                        if edges_middles[edges * 24 + pattern] & 15 <= most:
                            found = solve_second(
                                corners,
                                edges,
                                pattern,
                                int(out[length - 1]) // 3 if length > 0 else -1,
                                most,
                                corners_after,
                                edges_after,
                                middles_after,
                                corners_middles,
                                edges_middles,
                                steps,
                                out,
                                length,
                            )
                            if found >= 0:
                                result[0], result[1] = view, steps[0]
                                return length + found
                    depth -= 1
                    continue
                bits = untried[depth]
                if bits == 0:
                    depth -= 1
                    continue
                untried[depth] = bits & (bits - 1)
                turn = LOWEST_BIT[(bits & -bits) % 37]
                steps[0] += 1
                left = length - depth - 1
                next_twist = np.int64(twist_after[twist[depth], turn])
                next_flip = np.int64(flip_after[flip[depth], turn])
                if twist_flip[next_twist * 2048 + next_flip] > left:
                    continue
                next_middle = np.int64(middle_after[middle[depth], turn])
                out[depth] = turn
                depth += 1
                twist[depth], flip[depth], middle[depth] = next_twist, next_flip, next_middle
                if left > 0:
                    untried[depth] = (
                        worth_trying(int(twist_middle[next_twist * 495 + next_middle]), left, 18)
                        & worth_trying(int(flip_middle[next_flip * 495 + next_middle]), left, 18)
                        & _MAY_FOLLOW[turn // 3]
                    )
                if steps[0] >= budget:
                    result[1] = steps[0]
                    return -1
    result[1] = steps[0]
    return -1
