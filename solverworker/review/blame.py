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

from solverworker.causes import CAUSES
from solverworker.causes.residues import COLOUR_CHOICE, SPARE, UNDONE
from solverworker.cube.moments import in_normal_form
from solverworker.review.blame_kernels import (
    AT,
    COLUMNS,
    DIFFERENT_SUMS,
    EVERY,
    FIRST_IDEA,
    FIRST_SIDE,
    GAP,
    IDEAS,
    IS_UNDONE,
    KEPT,
    LOSS,
    MORE,
    OWN,
    SPARE_COLUMNS,
    fill_review,
)
from solverworker.search.cross import MAX_DISTANCE, MAX_SOLUTIONS, tables
from solverworker.techniques import TECHNIQUES, codes_of_mask
from solverworker.techniques.using import scratch


@dataclass(frozen=True, slots=True)
class Blame:
    """What a solved plan's moves say of techniques.

    ``used``: by the plan; ``called``: by some position on its way, where every
    shortest solution uses it; ``answered``: of these, used by the rest from the
    first such position. In the order of TECHNIQUES. ``shares``: moves lost by
    code, all above 0, in the order of CAUSES.
    """

    used: tuple[str, ...]
    called: tuple[str, ...]
    answered: tuple[str, ...]
    shares: dict[str, Fraction]


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
    own = in_normal_form(turns)
    held = tables()
    found = np.zeros((len(own), COLUMNS), dtype=np.int64)
    spare = np.empty((DIFFERENT_SUMS * len(own), SPARE_COLUMNS), dtype=np.int64)
    rows = fill_review(
        held.pair_turns,
        held.distances,
        held.descents,
        code,
        np.frombuffer(bytearray(own), dtype=np.uint8),
        np.empty((MAX_SOLUTIONS, MAX_DISTANCE), dtype=np.uint8),
        *scratch(),
        np.empty((3, len(own) + 1), dtype=np.int64),
        found,
        spare,
    )
    shares: dict[str, Fraction] = {}

    def add(name: str, top: int, bottom: int = 1) -> None:
        if top:
            shares[name] = shares.get(name, 0) + Fraction(top, bottom)

    add(UNDONE.code, len(turns) - len(own))
    called = answered = 0
    table = found.tolist()
    for row in table:
        fresh = row[EVERY] & ~called
        # A row past the last moment is all zeros and calls for nothing.
        called |= fresh
        answered |= fresh & row[OWN]
        if not row[LOSS]:
            continue
        if row[IS_UNDONE]:
            add(UNDONE.code, row[LOSS])
        elif row[GAP]:
            for idea, name in enumerate(TECHNIQUES):
                add(name, row[LOSS] * row[FIRST_IDEA + idea], row[KEPT] * row[GAP])
    for row in spare[:rows].tolist():
        at = table[row[AT]]
        for kind, name in enumerate(SPARE):
            add(name, at[LOSS] * row[FIRST_SIDE + kind], at[KEPT] * row[MORE])
    add(COLOUR_CHOICE.code, colour_choice)
    return Blame(
        used=in_order(table[0][OWN] if table else 0),
        called=in_order(called),
        answered=in_order(answered),
        shares={name: shares[name] for name in CAUSES if name in shares},
    )


def in_order(mask: int) -> tuple[str, ...]:
    """Return the codes of a mask in the order of TECHNIQUES."""
    return _IN_ORDER[mask]


_IN_ORDER: Final = tuple(
    tuple(name for name in TECHNIQUES if name in codes_of_mask(mask)) for mask in range(1 << IDEAS)
)
