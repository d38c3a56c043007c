"""Every shortest solution of a scramble, colour by colour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solverworker.cube.colours import CENTRES, pick_colours
from solverworker.cube.holds import BOTTOMS
from solverworker.cube.turns import TURN_NAMES
from solverworker.report import COLOURS
from solverworker.review.frames import codes_of_colours, follow_scramble
from solverworker.search.cross import distance_of_code, solutions_of_code


@dataclass(frozen=True, slots=True)
class ColourSolutions:
    """The shortest solutions of one colour.

    ``best``: their length in face turns; ``solutions``: all of them, written
    from the hold in which the scramble ends; each begins with the rotation
    that puts the colour on the bottom. Sorted by text.
    """

    best: int
    solutions: tuple[str, ...]

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.solutions)


def solve(scramble: str, *, colours: Sequence[str] | None = None) -> dict[str, ColourSolutions]:
    """Return every shortest solution of each colour (all six unless some are named).

    Keys come in the order of COLOURS. Raises NotationError,
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
        found[COLOURS[colour]] = ColourSolutions(
            length,
            tuple(
                " ".join(start + [TURN_NAMES[turn] for turn in row])
                for row in solutions_of_code(code)[:, :length].tolist()
            ),
        )
    return found
