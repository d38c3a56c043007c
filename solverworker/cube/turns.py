"""Face turns as numbers.

Faces are ``U R F D L B`` = 0 to 5; a turn is ``3 * face + quarters - 1``.
The order makes opposite faces three apart and puts U before D, R before L
and F before B: the canonical order inside a moment.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

FACES: Final = "URFDLB"

TURN_NAMES: Final[tuple[str, ...]] = tuple(
    face + suffix for face in FACES for suffix in ("", "2", "'")
)
"""The 18 face turns by number."""

TURN_COUNT: Final = 18

TURN_NUMBERS: Final[dict[str, int]] = {name: number for number, name in enumerate(TURN_NAMES)}


def turn_number(name: str) -> int:
    """Return the number (0 to 17) of a face turn. Raises ValueError for anything else.

    >>> turn_number("R'")
    5
    """
    if name not in TURN_NUMBERS:
        raise ValueError(f"`{name[:24]}` is no face turn. There are {' '.join(TURN_NAMES)}.")
    return TURN_NUMBERS[name]


def turn_name(number: int) -> str:
    """Return the name of the face turn with a number. Raises ValueError outside 0 to 17.

    >>> turn_name(5)
    "R'"
    """
    if not 0 <= number < TURN_COUNT:
        raise ValueError(f"A face turn has a number from 0 to {TURN_COUNT - 1}, not {number}.")
    return TURN_NAMES[number]


def face_of(turn: int) -> int:
    """Return the face (0 to 5) of a turn (0 to 17)."""
    return turn // 3


def quarters_of(turn: int) -> int:
    """Return how many clockwise quarter turns (1 to 3) a turn is."""
    return turn % 3 + 1


def axis(face: int) -> int:
    """Return the axis of a face: 0 up-down, 1 right-left, 2 front-back."""
    return face % 3


def inverse_turn(turn: int) -> int:
    """Return the turn that takes a turn back.

    >>> TURN_NAMES[inverse_turn(TURN_NUMBERS["R"])]
    "R'"
    """
    return 3 * (turn // 3) + 2 - turn % 3


def inverse(turns: Sequence[int]) -> tuple[int, ...]:
    """Return the turns that take a sequence of turns back."""
    return tuple(inverse_turn(turn) for turn in reversed(turns))


def write_turns(turns: Iterable[int]) -> str:
    """Return turns as text, one space between.

    >>> write_turns([3, 2])
    "R U'"
    """
    return " ".join([TURN_NAMES[turn] for turn in turns])
