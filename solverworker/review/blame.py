"""Blame: which idea would have saved the moves that a plan lost.

For a plan that ends solved, in normal form, moment by moment. Let ``s`` and
``s'`` be the states before and after a moment of ``k`` turns; its loss is
``k + d(s') - d(s)``. For each moment that lost something:

1. When some state at or before ``s`` (at the end of a moment) comes again at or
   after ``s'``, all of the loss is **undone moves**.
2. Otherwise the plan's own rest from ``s`` is compared with all shortest
   solutions from ``s``. The **gap** of a solution is what techniques it uses
   and the rest does not. Of the solutions with the smallest gap each gets an
   equal share of the loss, and splits it equally over the techniques in its
   gap; where that is empty, over **spare base, top and side moves** in
   proportion to how many more of each the rest has than the solution.

The moves that vanish in the normal form are undone moves too, and a colour that
was further away than the best allowed one costs the difference
(**colour choice**). All together it is the excess, exactly.

The kernel finds whole numbers (how many solutions, which gaps); the fractions
are made of them here, so nothing is ever rounded.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.cube.moments import normal_form
from solverworker.search.compiling import kernel
from solverworker.search.cross import MAX_DISTANCE, MAX_SOLUTIONS, tables
from solverworker.search.cross_kernels import fill_solutions
from solverworker.techniques import TECHNIQUES, codes_of_mask
from solverworker.techniques.course import BASE, ROOM, TOP, Bytes, Numbers, fill_course
from solverworker.techniques.using import mask_of_course, scratch

UNDONE: Final = "undone_moves"
COLOUR_CHOICE: Final = "colour_choice"
SPARE: Final = ("spare_base_moves", "spare_top_moves", "spare_side_moves")
"""Codes of what is no technique; techniques have their own."""

_IDEAS: Final = 5
"""Techniques that the kernel's masks hold."""

# What the kernel tells of each moment, in columns.
_LOSS, _IS_UNDONE, _KEPT, _GAP, _EVERY, _OWN, _FIRST_IDEA = range(7)
_COLUMNS: Final = _FIRST_IDEA + _IDEAS

# And of each (moment, spare moves in all) of a plan whose gap is empty there.
_AT, _ALL, _FIRST_SPARE = range(3)
_SPARE_COLUMNS: Final = _FIRST_SPARE + 3
_DIFFERENT_SUMS: Final = MAX_DISTANCE + 1
"""A rest of n moves has between n - 8 and n more than a shortest solution."""


@dataclass(frozen=True, slots=True)
class Blame:
    """What a solved plan's moves say of techniques.

    ``used``: by the plan; ``called``: by some position on its way, where every
    shortest solution uses it; ``answered``: of these, used by the rest from the
    first such position. In the order of TECHNIQUES. ``shares``: moves lost by
    code, all above 0, techniques first.
    """

    used: tuple[str, ...]
    called: tuple[str, ...]
    answered: tuple[str, ...]
    shares: dict[str, Fraction]


@kernel(
    "int64(uint16[:, ::1], uint8[::1], uint32[::1], int64, uint8[::1], uint8[:, ::1], "
    "uint8[:, ::1], int64[::1], int64[::1], int64[::1], int64[::1], int64[:, ::1], int64[:, ::1])"
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
    codes: Numbers,
    found: npt.NDArray[np.int64],
    spare: npt.NDArray[np.int64],
) -> int:
    """Look at every moment of a solving sequence in normal form, from the state with a code.

    ``solutions`` to ``codes``: room to work in. ``found``: zeros, a row a
    moment, filled by the columns above. ``spare``: a row for each moment and
    number of spare moves; returns how many rows it got.
    """
    length = turns.shape[0]
    # The codes and the first turn of each moment.
    moments = 0
    p, q = code // 576, code % 576
    starts = np.empty(length + 1, dtype=np.int64)
    axis_before = -1
    for index in range(length):
        axis = np.int64(turns[index]) // 3 % 3
        if axis != axis_before:
            starts[moments] = index
            codes[moments] = p * 576 + q
            moments += 1
            axis_before = axis
        p = np.int64(pair_turns[turns[index], p])
        q = np.int64(pair_turns[turns[index], q])
    starts[moments] = length
    codes[moments] = p * 576 + q

    own_sides, own_counts = np.empty(3, dtype=np.int64), np.empty(3, dtype=np.int64)
    sums = np.empty((length + 1, 3), dtype=np.int64)
    rows = 0
    for at in range(moments):
        start = starts[at]
        distance = np.int64(distances[codes[at]])
        loss = starts[at + 1] - start + np.int64(distances[codes[at + 1]]) - distance
        found[at, _LOSS] = loss
        rest = turns[start:]
        count = fill_course(codes[at], rest, length - start, edges, moment, ends, settle)
        own = np.int64(mask_of_course(edges, rest, moment, ends, settle, length - start, count))
        found[at, _OWN] = own

        comes_again = False
        if loss > 0:
            for before in range(at + 1):
                for after in range(at + 1, moments + 1):
                    if codes[before] == codes[after]:
                        comes_again = True
            found[at, _IS_UNDONE] = comes_again
        weigh = loss > 0 and not comes_again
        if weigh:
            own_counts[:] = 0
            for index in range(start, length):
                own_counts[_side(turns[index])] += 1
            sums[:, :] = 0

        every, smallest, kept = np.int64(31), np.int64(_IDEAS + 1), np.int64(0)
        many = fill_solutions(pair_turns, descents, codes[at], distance, solutions)
        for row in range(many):
            count = fill_course(codes[at], solutions[row], distance, edges, moment, ends, settle)
            mask = np.int64(
                mask_of_course(edges, solutions[row], moment, ends, settle, distance, count)
            )
            every &= mask
            if not weigh:
                continue
            gap = mask & ~own
            size = np.int64(0)
            for idea in range(_IDEAS):
                size += gap >> idea & 1
            if size > smallest:
                continue
            if size < smallest:
                smallest, kept = size, 0
                for idea in range(_IDEAS):
                    found[at, _FIRST_IDEA + idea] = 0
            kept += 1
            for idea in range(_IDEAS):
                found[at, _FIRST_IDEA + idea] += gap >> idea & 1
            if size == 0:
                own_sides[:] = own_counts
                for index in range(distance):
                    own_sides[_side(solutions[row, index])] -= 1
                more = 0
                for kind in range(3):
                    own_sides[kind] = max(own_sides[kind], 0)
                    more += own_sides[kind]
                for kind in range(3):
                    sums[more, kind] += own_sides[kind]
        found[at, _EVERY] = every
        if weigh:
            found[at, _KEPT] = kept
            found[at, _GAP] = smallest
            if smallest == 0:
                for more in range(1, length + 1):
                    if sums[more, 0] + sums[more, 1] + sums[more, 2] > 0:
                        spare[rows, _AT] = at
                        spare[rows, _ALL] = more
                        for kind in range(3):
                            spare[rows, _FIRST_SPARE + kind] = sums[more, kind]
                        rows += 1
    return rows


@kernel("int64(uint8)")
def _side(turn: int) -> int:
    """Return 0 for a base turn, 1 for a top turn, 2 for a side turn."""
    face = turn // 3
    if face == BASE:
        return 0
    return 1 if face == TOP else 2


def blame_of(code: int, turns: Sequence[int], *, colour_choice: int = 0) -> Blame:
    """Say which techniques a plan used and was called for, and what cost its lost moves.

    ``code``: of the cross before the plan; ``turns``: 0 to 17, any sequence, at
    most 160, that solves it (not checked), seen in the same hold;
    ``colour_choice``: what the choice of the colour cost. The shares' sum is
    ``len(turns)`` less the distance at the start, plus ``colour_choice``.

    >>> from solverworker.cube.cross import after, code
    >>> from solverworker.cube.turns import TURN_NUMBERS
    >>> state = code(after(TURN_NUMBERS[name] for name in "D R".split()))
    >>> blame_of(state, [TURN_NUMBERS[name] for name in "R' D' U U'".split()]).shares
    {'undone_moves': Fraction(2, 1)}
    """
    own = [turn for moment in normal_form(turns) for turn in moment.turns]
    held = tables()
    found = np.zeros((len(own), _COLUMNS), dtype=np.int64)
    spare = np.empty((_DIFFERENT_SUMS * len(own), _SPARE_COLUMNS), dtype=np.int64)
    rows = fill_review(
        held.pair_turns,
        held.distances,
        held.descents,
        code,
        np.frombuffer(bytearray(own), dtype=np.uint8),
        np.empty((MAX_SOLUTIONS, MAX_DISTANCE), dtype=np.uint8),
        *scratch(),
        np.empty(ROOM + 1, dtype=np.int64),
        found,
        spare,
    )
    shares: dict[str, Fraction] = {}

    def add(name: str, top: int, bottom: int = 1) -> None:
        if top:
            shares[name] = shares.get(name, 0) + Fraction(top, bottom)

    add(UNDONE, len(turns) - len(own))
    called = answered = 0
    table = found.tolist()
    for row in table:
        fresh = row[_EVERY] & ~called
        # A row past the last moment is all zeros and calls for nothing.
        called |= fresh
        answered |= fresh & row[_OWN]
        if not row[_LOSS]:
            continue
        if row[_IS_UNDONE]:
            add(UNDONE, row[_LOSS])
        elif row[_GAP]:
            for idea, name in enumerate(TECHNIQUES):
                add(name, row[_LOSS] * row[_FIRST_IDEA + idea], row[_KEPT] * row[_GAP])
    for row in spare[:rows].tolist():
        at = table[row[_AT]]
        for kind, name in enumerate(SPARE):
            add(name, at[_LOSS] * row[_FIRST_SPARE + kind], at[_KEPT] * row[_ALL])
    add(COLOUR_CHOICE, colour_choice)
    return Blame(
        used=in_order(table[0][_OWN] if table else 0),
        called=in_order(called),
        answered=in_order(answered),
        shares={name: shares[name] for name in ORDER if name in shares},
    )


ORDER: Final[tuple[str, ...]] = (*TECHNIQUES, *SPARE, UNDONE, COLOUR_CHOICE)
"""All codes of blame, in the order in which they are told."""


def in_order(mask: int) -> tuple[str, ...]:
    """Return the codes of a mask in the order of TECHNIQUES."""
    return _IN_ORDER[mask]


_IN_ORDER: Final = tuple(
    tuple(name for name in TECHNIQUES if name in codes_of_mask(mask)) for mask in range(1 << _IDEAS)
)
