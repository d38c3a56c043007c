"""From texts to cross states: scrambles followed, six colours looked at at once."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
import numpy.typing as npt

from solverworker.cube.colours import CENTRES
from solverworker.cube.holds import BOTTOMS, RELABEL, Walk, walk
from solverworker.cube.notation import parse_scramble
from solverworker.search.cross import codes_along

# For each hold: the relabellings of turns under which the six colours, in the
# order of COLOURS, lie at the bottom as their written solutions have it.
_FRAMES: Final[tuple[npt.NDArray[np.uint8], ...]] = tuple(
    np.array([RELABEL[row[centre].hold] for centre in CENTRES], dtype=np.uint8) for row in BOTTOMS
)


@lru_cache(maxsize=512)
def follow_scramble(scramble: str) -> Walk:
    """Follow a scramble; kept, because a whole club plans on the same ones.

    Raises NotationError with ``where`` "scramble".
    """
    return walk(parse_scramble(scramble))


def codes_of_colours(before: Walk, turns: tuple[int, ...] = ()) -> npt.NDArray[np.int32]:
    """Return the codes of all six crosses after a scramble and after each turn of a plan.

    ``turns``: turns of centres' faces. Each colour is seen as its solutions
    are written: from the hold in which the scramble ends, turned so that the
    colour is at the bottom. int32, 6 (in the order of COLOURS) × (turns + 1).
    """
    return codes_along(before.turns + turns, len(before.turns), _FRAMES[before.hold])
