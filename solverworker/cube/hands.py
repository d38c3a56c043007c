"""How hard a sequence of turns is on the hands: a convention of this project.

Nobody has measured it and it decides nothing that counts; it only puts first,
of solutions equally short, one that a person would do. The cost is a sum:

* each turn costs what its face costs: U, R and L the least, B the most;
* a half turn costs more than a quarter turn;
* a regrip costs more. The right hand turns R with the wrist and can follow
  from one quarter down (R') to two up (R2); the left hand does the same with
  L in the mirror. A turn beyond that needs a new grip first, from which the
  wrist starts afresh.

Only the sum's order matters, so its unit is of no account.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from solverworker.cube.turns import FACES

RIGHT: Final = FACES.index("R")
LEFT: Final = FACES.index("L")

WRIST_DOWN: Final = -1
WRIST_UP: Final = 2
"""How many quarters from rest a wrist can follow, downwards and upwards."""


@dataclass(frozen=True, slots=True)
class HandCost:
    """What turns cost. ``faces``: a quarter turn of U, R, F, D, L, B; the others are added."""

    faces: tuple[int, int, int, int, int, int] = (4, 4, 6, 6, 4, 11)
    half: int = 2
    regrip: int = 7

    def of(self, turns: Iterable[int]) -> int:
        """Return the cost of turns (0 to 17) as held.

        >>> from solverworker.cube.turns import TURN_NUMBERS
        >>> [HandCost().of(TURN_NUMBERS[t] for t in told.split()) for told in ("R U R'", "B2 D")]
        [12, 19]
        """
        total = 0
        right = left = 0
        for turn in turns:
            face, quarters = turn // 3, turn % 3 + 1
            total += self.faces[face] + (self.half if quarters == 2 else 0)
            if face == RIGHT:
                right, regrips = followed(right, quarters)
                total += regrips * self.regrip
            elif face == LEFT:
                left, regrips = followed(left, 4 - quarters)  # the mirror image of R
                total += regrips * self.regrip
        return total


HANDS: Final = HandCost()
"""The cost by which solutions are ordered unless another is given."""


def followed(wrist: int, quarters: int) -> tuple[int, int]:
    """Return where a wrist is after it followed a turn, and how many regrips (0 or 1) it took.

    ``wrist``: quarters from rest; ``quarters``: 1 up, 3 one down, 2 either way.
    """
    if quarters == 2:
        return (wrist - 2 if wrist > 0 else wrist + 2), 0
    step = 1 if quarters == 1 else -1
    if WRIST_DOWN <= wrist + step <= WRIST_UP:
        return wrist + step, 0
    return step, 1
