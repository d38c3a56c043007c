"""Kernels on states of the cross and one pair: arrays in, arrays out.

A state is a cross (its rank) and, of the pair whose slot is front right, the
corner's state (0 to 23) and the edge's. The edge cannot be where a cross edge
is, so of its 24 states 16 are left, numbered in order: its *local* state. The
number of the whole state is ``384 * rank + 16 * corner + local``, so that a
**row** of 384 numbers belongs to each cross, and a **block** of 16 rows to
each order of its edges.

A rank is ``16 * order + flips``; a turn changes ``order`` by a table and
``flips`` by an exclusive or, both looked up by ``order``; and it changes
local states by a table looked up by the *set* of places that the cross takes.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.cube.pieces import CORNER_TURNS, EDGE_TURNS
from solverworker.search.compiling import kernel
from solverworker.search.cross_kernels import ALPHABETICAL

Bytes = npt.NDArray[np.uint8]

ROW: Final = 384
BLOCK: Final = 16 * ROW
ORDERS: Final = 11_880
SETS: Final = 495
UNSEEN: Final = 255

_EDGE_TURNS = np.array(EDGE_TURNS, dtype=np.int64)
_CORNER_TURNS = np.array(CORNER_TURNS, dtype=np.int64)


@kernel("void(int64, int64[::1])")
def _number_locals(places: int, local: npt.NDArray[np.int64]) -> None:
    """Number the edge states that a set of places (12 bits) leaves; -1 for the others."""
    free = 0
    for place in range(12):
        if places >> place & 1:
            local[2 * place] = local[2 * place + 1] = -1
        else:
            local[2 * place], local[2 * place + 1] = free, free + 1
            free += 2


@kernel(
    "void(Array(int32, 1, 'C', True), uint16[:, ::1], uint8[:, ::1], uint16[::1], uint8[:, :, ::1])"
)
def fill_moves(
    codes: npt.NDArray[np.int32],
    orders: npt.NDArray[np.uint16],
    flips: Bytes,
    sets: npt.NDArray[np.uint16],
    locals_after: Bytes,
) -> None:
    """Fill what turns do.

    ``codes``: the code of each cross by rank. ``orders`` and ``flips``, 11,880
    × 18: the order after a turn, and what it does to the flips. ``sets``,
    11,880: the number of the set of places. ``locals_after``, 495 × 18 × 16:
    local states after a turn.
    """
    order_of_places = np.full(20_736, -1, dtype=np.int64)
    for order in range(ORDERS):
        code = codes[16 * order]
        a, b, c, d = code // 13824, code // 576 % 24, code // 24 % 24, code % 24
        order_of_places[((a // 2 * 12 + b // 2) * 12 + c // 2) * 12 + d // 2] = order
    number_of_places = np.full(4096, -1, dtype=np.int64)
    known = 0
    local = np.empty(24, dtype=np.int64)
    local_there = np.empty(24, dtype=np.int64)
    edges = np.empty(4, dtype=np.int64)
    for order in range(ORDERS):
        code = codes[16 * order]
        edges[0], edges[1] = code // 13824, code // 576 % 24
        edges[2], edges[3] = code // 24 % 24, code % 24
        places = 0
        for edge in range(4):
            places |= 1 << (edges[edge] // 2)
        new = number_of_places[places] < 0
        if new:
            number_of_places[places] = known
            known += 1
            _number_locals(places, local)
        sets[order] = number_of_places[places]
        for turn in range(18):
            there, turned, places_there = 0, 0, 0
            for edge in range(4):
                goal = _EDGE_TURNS[turn, edges[edge]]
                there = there * 12 + goal // 2
                turned = turned * 2 + (goal & 1)
                places_there |= 1 << (goal // 2)
            orders[order, turn] = order_of_places[there]
            flips[order, turn] = turned
            if new:
                _number_locals(places_there, local_there)
                for state in range(24):
                    if local[state] >= 0:
                        goal = local_there[_EDGE_TURNS[turn, state]]
                        locals_after[sets[order], turn, local[state]] = goal


@kernel("int64(uint8[::1], int64, int64, uint16[::1])")
def _collect(table: Bytes, block: int, wanted: int, here: npt.NDArray[np.uint16]) -> int:
    """Collect the states of a block that hold a value, as ``512 * flips + number in the row``."""
    count = 0
    for flips in range(16):
        start = block * BLOCK + flips * ROW
        for index in range(ROW):
            if table[start + index] == wanted:
                here[count] = flips * 512 + index
                count += 1
    return count


@kernel(
    "void(int64, int64, uint16[:, ::1], uint8[:, ::1], uint16[::1], uint8[:, :, ::1], "
    "uint16[::1], int64, int64[::1])"
)
def _reach(
    order: int,
    turn: int,
    orders: npt.NDArray[np.uint16],
    flips: Bytes,
    sets: npt.NDArray[np.uint16],
    locals_after: Bytes,
    here: npt.NDArray[np.uint16],
    count: int,
    to: npt.NDArray[np.int64],
) -> None:
    """Fill the numbers of the states that a turn makes of ``count`` states of a block."""
    start = np.int64(orders[order, turn]) * BLOCK
    flipped = np.int64(flips[order, turn])
    corners = _CORNER_TURNS[turn]
    local = locals_after[sets[order], turn]
    for index in range(count):
        state = np.int64(here[index])
        row = start + ((state >> 9) ^ flipped) * ROW
        to[index] = row + corners[state >> 4 & 31] * 16 + local[state & 15]


@kernel(
    "int64(int64, uint8[::1], uint16[::1], uint16[:, ::1], uint8[:, ::1], uint16[::1], "
    "uint8[:, :, ::1])"
)
def spread(
    distance: int,
    table: Bytes,
    touched: npt.NDArray[np.uint16],
    orders: npt.NDArray[np.uint16],
    flips: Bytes,
    sets: npt.NDArray[np.uint16],
    locals_after: Bytes,
) -> int:
    """Mark every unseen neighbour of the states at a distance. Returns how many were at it.

    One walk through the table in the order of memory, a block (one order of
    the cross's edges) at a time: all that one turn reaches lies in one block.
    ``touched``, 11,880: by block, the distances that may stand in it, as bits.
    """
    found = 0
    here = np.empty(BLOCK + 1, dtype=np.uint16)
    to = np.empty(BLOCK, dtype=np.int64)
    further = np.uint8(distance + 1)
    for order in range(ORDERS):
        if not touched[order] >> distance & 1:
            continue
        count = _collect(table, order, distance, here)
        found += count
        for turn in range(18):
            touched[orders[order, turn]] |= np.uint16(1) << np.uint16(distance + 1)
            _reach(order, turn, orders, flips, sets, locals_after, here, count, to)
            for index in range(count):
                # Neighbours are at most one turn further, so this marks the unseen ones
                # alone; without a branch it takes half the time.
                table[to[index]] = min(table[to[index]], further)
    return found


@kernel("int64(int64, uint8[::1], uint16[:, ::1], uint8[:, ::1], uint16[::1], uint8[:, :, ::1])")
def gather(
    distance: int,
    table: Bytes,
    orders: npt.NDArray[np.uint16],
    flips: Bytes,
    sets: npt.NDArray[np.uint16],
    locals_after: Bytes,
) -> int:
    """Do as :func:`spread` from the other side: look for each unseen state's neighbours.

    Cheaper once most states are seen. Returns how many states were marked.
    """
    marked = 0
    here = np.empty(BLOCK + 1, dtype=np.uint16)
    to = np.empty(BLOCK, dtype=np.int64)
    further = np.uint8(distance + 1)
    for order in range(ORDERS):
        count = _collect(table, order, UNSEEN, here)
        for turn in range(18):
            if count == 0:
                break
            _reach(order, turn, orders, flips, sets, locals_after, here, count, to)
            kept = 0
            for index in range(count):
                state = np.int64(here[index])
                reached = table[to[index]] == distance
                own = order * BLOCK + (state >> 9) * ROW + (state & 511)
                table[own] = further if reached else UNSEEN
                here[kept] = state
                kept += not reached
            marked += count - kept
            count = kept
    return marked


@kernel("void(uint8[::1], uint8[::1])")
def pack(table: Bytes, packed: Bytes) -> None:
    """Put two distances into each byte, the even number's in the lower half."""
    for index in range(packed.shape[0]):
        packed[index] = table[2 * index] | table[2 * index + 1] << 4


@kernel("int64(int64, int64, uint16[:, ::1], uint8[:, ::1], uint16[::1], uint8[:, :, ::1])")
def neighbour(
    state: int,
    turn: int,
    orders: npt.NDArray[np.uint16],
    flips: Bytes,
    sets: npt.NDArray[np.uint16],
    locals_after: Bytes,
) -> int:
    """Return the number of the state that a turn makes of a state."""
    order, rest = state // BLOCK, state % BLOCK
    row, corner, local = rest // ROW, rest % ROW // 16, rest % 16
    return (
        int(orders[order, turn]) * BLOCK
        + (int(flips[order, turn]) ^ row) * ROW
        + int(_CORNER_TURNS[turn, corner]) * 16
        + int(locals_after[sets[order], turn, local])
    )


@kernel("int64(Array(uint8, 1, 'C', True), int64)")
def distance_in(packed: Bytes, state: int) -> int:
    """Return the distance of a state from the packed table."""
    return int(packed[state >> 1] >> (4 * (state & 1)) & 15)


@kernel(
    "int64(int64, Array(uint8, 1, 'C', True), uint16[:, ::1], uint8[:, ::1], uint16[::1], "
    "uint8[:, :, ::1], uint8[:, ::1])"
)
def fill_pair_solutions(
    state: int,
    packed: Bytes,
    orders: npt.NDArray[np.uint16],
    flips: Bytes,
    sets: npt.NDArray[np.uint16],
    locals_after: Bytes,
    out: Bytes,
) -> int:
    """Enumerate every shortest solution of a state, as ``fill_solutions`` does of a cross."""
    length = distance_in(packed, state)
    found = 0
    states = np.empty(length + 1, np.int64)
    path = np.empty(length + 1, np.int64)
    tried = np.zeros(length + 1, np.int64)
    states[0] = state
    depth = 0
    while depth >= 0:
        if depth == length:
            if found < out.shape[0]:
                for index in range(length):
                    out[found, index] = path[index]
            found += 1
            depth -= 1
            continue
        face_before = path[depth - 1] // 3 if depth > 0 else -1
        goes_on = False
        while tried[depth] < 18 and not goes_on:
            turn = ALPHABETICAL[tried[depth]]
            tried[depth] += 1
            face = turn // 3
            if face == face_before or face + 3 == face_before:
                continue
            reached = neighbour(states[depth], turn, orders, flips, sets, locals_after)
            if distance_in(packed, reached) == length - depth - 1:
                path[depth] = turn
                states[depth + 1] = reached
                tried[depth + 1] = 0
                goes_on = True
        depth += 1 if goes_on else -1
    return found
