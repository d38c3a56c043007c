"""Shortest solutions as a member would do them, the ones most like a plan first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from solverworker.cube.colours import CENTRES
from solverworker.cube.holds import BOTTOMS, RELABEL
from solverworker.cube.moments import in_normal_form
from solverworker.cube.turns import TURN_NAMES
from solverworker.report import COLOURS, ShortestSolution, TechniqueTurns
from solverworker.search.cross import common_starts, distance_of_code, solutions_of_code
from solverworker.search.hands import hand_costs
from solverworker.techniques import masks, places

# How many techniques a mask holds.
_SIZES = np.array([mask.bit_count() for mask in range(256)], dtype=np.int64)


class Start(NamedTuple):
    """A colour (its place in COLOURS) and the code of its cross before the plan.

    The code is as seen in ``BOTTOMS[hold][centre].hold``: after the rotation
    with which the colour's written solutions begin.
    """

    colour: int
    code: int


class Alike(NamedTuple):
    """The shortest solutions of a cross and how they compare with a plan.

    ``solutions``: uint8, count × 8, of which ``length`` columns count;
    ``masks``: uint8, the techniques of each; ``keys``: int64, count × 3, what
    is smallest for the one most alike; ``order``: rows, the most alike first.
    """

    solutions: npt.NDArray[np.uint8]
    length: int
    masks: npt.NDArray[np.uint8]
    keys: npt.NDArray[np.int64]
    order: npt.NDArray[np.int64]


def alike(code: int, own: Sequence[int], own_mask: int | None) -> Alike:
    """Compare all shortest solutions of a cross with the turns that a plan makes from there.

    ``own``: in normal form; ``own_mask``: the techniques that they use, None
    when they do not solve the cross and so have none. Most alike are: fewest
    techniques that the plan lacks, then the longest common start, then the
    easiest on the hands, then by text.
    """
    solutions = solutions_of_code(code)
    length = distance_of_code(code)
    found = masks(code, solutions, length)
    keys = np.zeros((len(solutions), 3), dtype=np.int64)
    if own_mask is not None:
        keys[:, 0] = _SIZES[found & ~np.uint8(own_mask)]
    keys[:, 1] = -common_starts(solutions, length, own)
    keys[:, 2] = hand_costs(solutions, length)
    # Rows already come in the order of their texts, and the sort keeps that.
    order = np.lexsort((keys[:, 2], keys[:, 1], keys[:, 0]))
    return Alike(solutions, length, found, keys, order)


def ideas(code: int, rows: npt.NDArray[np.uint8], length: int) -> list[tuple[TechniqueTurns, ...]]:
    """Return the ideas of some solutions of a cross."""
    return [
        tuple([TechniqueTurns(technique, turns) for technique, turns in each.items()])
        for each in places(code, rows, length)
    ]


def nearest(
    starts: list[Start], hold: int, plan: tuple[int, ...], own_mask: int | None, most: int
) -> tuple[tuple[ShortestSolution, ...], int]:
    """Return the shortest solutions most like a plan, and how many there are in all.

    ``hold``: the one in which the scramble ends, from which they are written;
    ``plan``: turns of centres' faces; ``own_mask``: its techniques, None when
    it is not solved; ``most``: how many at most.
    """
    found: list[tuple[tuple[int, ...], str, ShortestSolution]] = []
    total = 0
    for start in starts:
        if not most:
            total += len(solutions_of_code(start.code))
            continue
        bottom = BOTTOMS[hold][CENTRES[start.colour]]
        prefix = f"{bottom.rotation} " if bottom.rotation else ""
        relabel = RELABEL[bottom.hold]
        all_of_them = alike(start.code, in_normal_form([relabel[turn] for turn in plan]), own_mask)
        total += len(all_of_them.solutions)
        chosen = all_of_them.order[:most]
        rows = all_of_them.solutions[chosen]
        for key, row, idea in zip(
            all_of_them.keys[chosen].tolist(),
            rows[:, : all_of_them.length].tolist(),
            ideas(start.code, rows, all_of_them.length),
            strict=True,
        ):
            text = (prefix + " ".join([TURN_NAMES[turn] for turn in row])).rstrip()
            found.append((tuple(key), text, ShortestSolution(COLOURS[start.colour], text, idea)))
    found.sort(key=lambda item: item[:2])
    return tuple(solution for _, _, solution in found[:most]), total
