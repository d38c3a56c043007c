"""Drawing scrambles by random face turns."""

from __future__ import annotations

import secrets
from typing import Final, Protocol

from solverworker.cube.turns import TURN_NAMES, axis

THIRTY_TURNS: Final = "thirty_turns"
"""Name of the method, stored with every set that was drawn by it."""

_LENGTH: Final = 30


class Source(Protocol):
    """A source of whole numbers, such as ``random.Random``."""

    def randrange(self, stop: int, /) -> int:
        """Return a whole number from 0 up to, not including, ``stop``."""
        ...


def thirty_turns(source: Source | None = None) -> str:
    """Return 30 random face turns, from the system's secure source by default.

    Each turn is drawn uniformly among those that do not waste a turn: never
    the face just turned, and never a third turn about one axis in a row (the
    first and third could be joined).

    >>> import random
    >>> len(thirty_turns(random.Random(1)).split())
    30
    """
    chooser: Source = secrets.SystemRandom() if source is None else source
    faces: list[int] = []
    names: list[str] = []
    while len(faces) < _LENGTH:
        free = [face for face in range(6) if _adds(faces, face)]
        face = free[chooser.randrange(len(free))]
        faces.append(face)
        names.append(TURN_NAMES[3 * face + chooser.randrange(3)])
    return " ".join(names)


def _adds(faces: list[int], face: int) -> bool:
    """Whether a turn of ``face`` after ``faces`` could not be joined to one of them."""
    if faces and faces[-1] == face:
        return False
    return not (len(faces) > 1 and axis(faces[-1]) == axis(faces[-2]) == axis(face))
