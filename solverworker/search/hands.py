"""The cost on the hands of many solutions at once; what it is, :mod:`solverworker.cube.hands`."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from solverworker.cube.hands import HANDS, LEFT, RIGHT, WRIST_DOWN, WRIST_UP, HandCost
from solverworker.search.compiling import kernel


@kernel("void(uint8[:, ::1], int64, int64[::1], int64, int64, int64[::1])")
def fill_hand_costs(
    solutions: npt.NDArray[np.uint8],
    length: int,
    faces: npt.NDArray[np.int64],
    half: int,
    regrip: int,
    out: npt.NDArray[np.int64],
) -> None:
    """Fill the cost of each row's first ``length`` turns, as ``HandCost.of`` counts it."""
    wrists = np.zeros(2, dtype=np.int64)
    for row in range(solutions.shape[0]):
        wrists[:] = 0
        total = np.int64(0)
        for index in range(length):
            turn = np.int64(solutions[row, index])
            face, quarters = turn // 3, turn % 3 + 1
            total += faces[face]
            if quarters == 2:
                total += half
            if face not in (RIGHT, LEFT):
                continue
            hand = 0 if face == RIGHT else 1
            step = 2 - quarters if hand == 0 else quarters - 2
            if step == 0:
                wrists[hand] += -2 if wrists[hand] > 0 else 2
            elif WRIST_DOWN <= wrists[hand] + step <= WRIST_UP:
                wrists[hand] += step
            else:
                wrists[hand] = step
                total += regrip
        out[row] = total


def hand_costs(
    solutions: npt.NDArray[np.uint8], length: int, hands: HandCost = HANDS
) -> npt.NDArray[np.int64]:
    """Return the cost of each solution (a row, its first ``length`` turns): int64, count."""
    out = np.empty(len(solutions), dtype=np.int64)
    fill_hand_costs(
        solutions, length, np.array(hands.faces, dtype=np.int64), hands.half, hands.regrip, out
    )
    return out
