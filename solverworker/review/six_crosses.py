"""The crosses of all six colours at once, after a scramble and along a plan."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.cube.colours import CENTRES
from solverworker.cube.holds import BOTTOMS, RELABEL, Walk
from solverworker.search.cross import codes_along

# For each hold: the relabellings of turns under which the six colours, in the
# order of COLOURS, lie at the bottom as their written solutions have it.
_RELABELLINGS: Final[tuple[npt.NDArray[np.uint8], ...]] = tuple(
    np.array([RELABEL[row[centre].hold] for centre in CENTRES], dtype=np.uint8) for row in BOTTOMS
)


def codes_of_colours(before: Walk, turns: tuple[int, ...] = ()) -> npt.NDArray[np.int32]:
    """Return the codes of all six crosses after a scramble and after each turn of a plan.

    ``turns``: turns of centres' faces. Each colour is seen as its solutions
    are written: from the hold in which the scramble ends, turned so that the
    colour is at the bottom. int32, 6 (in the order of COLOURS) × (turns + 1).
    """
    return codes_along(before.turns + turns, len(before.turns), _RELABELLINGS[before.hold])
