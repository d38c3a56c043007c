"""Every shortest solution of a scramble, colour by colour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from solverworker.cube.colours import CENTRES, pick_colours
from solverworker.cube.hands import HANDS, HandCost
from solverworker.cube.holds import BOTTOMS, follow_scramble
from solverworker.cube.turns import TURN_NAMES
from solverworker.report import COLOURS
from solverworker.review.six_crosses import codes_of_colours
from solverworker.search.cross import distance_of_code, solutions_of_code
from solverworker.search.hands import hand_costs


@dataclass(frozen=True, slots=True)
class ColourSolutions:
    """The shortest solutions of one colour.

    ``best``: their length in face turns; ``solutions``: all of them, written
    from the hold in which the scramble ends; each begins with the rotation
    that puts the colour on the bottom. Easiest on the hands first, then by text.
    """

    best: int
    solutions: tuple[str, ...]

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.solutions)


def solve(
    scramble: str, *, colours: Sequence[str] | None = None, hands: HandCost = HANDS
) -> dict[str, ColourSolutions]:
    """Return every shortest solution of each colour (all six unless some are named).

    Keys come in the order of COLOURS; ``hands``: the cost by which solutions
    are ordered. Raises NotationError,
    UnknownColourError, and ValueError when ``colours`` is empty.

    >>> solve("R D", colours=["yellow"])["yellow"].solutions
    ("D' R'",)
    """
    chosen = pick_colours(colours)
    before = follow_scramble(scramble)
    codes = codes_of_colours(before)
    found: dict[str, ColourSolutions] = {}
    for colour in chosen:
        code = int(codes[colour, 0])
        length = distance_of_code(code)
        rotation = BOTTOMS[before.hold][CENTRES[colour]].rotation
        start = [rotation] if rotation else []
        rows = solutions_of_code(code)
        # Rows come in the order of their texts, and a stable sort keeps that.
        order = np.argsort(hand_costs(rows, length, hands), kind="stable")
        found[COLOURS[colour]] = ColourSolutions(
            length,
            tuple(
                " ".join(start + [TURN_NAMES[turn] for turn in row])
                for row in rows[order, :length].tolist()
            ),
        )
    return found
