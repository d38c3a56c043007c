"""Shortest solutions as a member would do them, the ones nearest to a plan first."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from solverworker.cube.colours import CENTRES
from solverworker.cube.holds import BOTTOMS, RELABEL
from solverworker.cube.moments import normal_form
from solverworker.cube.turns import TURN_NAMES
from solverworker.report import COLOURS, ShortestSolution
from solverworker.search.cross import common_starts, distance_of_code, solutions_of_code
from solverworker.search.hands import hand_costs


class Start(NamedTuple):
    """A colour (its place in COLOURS) and the code of its cross before the plan.

    The code is as seen in ``BOTTOMS[hold][centre].hold``: after the rotation
    with which the colour's written solutions begin.
    """

    colour: int
    code: int


def nearest(
    starts: list[Start], hold: int, plan: tuple[int, ...], most: int
) -> tuple[tuple[ShortestSolution, ...], int]:
    """Return the shortest solutions most like a plan, and how many there are in all.

    ``hold``: the one in which the scramble ends, from which they are written;
    ``plan``: turns of centres' faces; ``most``: how many at most. The order: longest common start
    (compared in normal form), then easiest on the hands, then text.
    """
    found: list[tuple[int, int, str, ShortestSolution]] = []
    total = 0
    for start in starts:
        solutions = solutions_of_code(start.code)
        total += len(solutions)
        if not most:
            continue
        bottom = BOTTOMS[hold][CENTRES[start.colour]]
        prefix = f"{bottom.rotation} " if bottom.rotation else ""
        relabel = RELABEL[bottom.hold]
        own = normal_form([relabel[turn] for turn in plan])
        length = distance_of_code(start.code)
        # The one place for the order: what a plan lacks goes in front of the
        # common start. Rows already come in the order of their texts, and the
        # sort keeps that.
        shared = common_starts(solutions, length, [turn for moment in own for turn in moment.turns])
        costs = hand_costs(solutions, length)
        chosen = np.lexsort((costs, -shared))[:most]
        for common, cost, row in zip(
            shared[chosen].tolist(),
            costs[chosen].tolist(),
            solutions[chosen, :length].tolist(),
            strict=True,
        ):
            text = (prefix + " ".join([TURN_NAMES[turn] for turn in row])).rstrip()
            found.append((-common, cost, text, ShortestSolution(COLOURS[start.colour], text)))
    found.sort(key=lambda item: item[:3])
    return tuple(solution for _, _, _, solution in found[:most]), total
