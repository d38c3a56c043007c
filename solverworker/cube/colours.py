"""Which colour stands where in the hold in which every scramble starts.

White up, green in front (WCA 4d1); the other four follow from the colour
scheme that the standard's puzzles use: yellow down, blue back, red right,
orange left.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from solverworker.cube.turns import FACES
from solverworker.report import COLOURS

COLOUR_OF_FACE: Final[dict[str, str]] = {
    "U": "white",
    "R": "red",
    "F": "green",
    "D": "yellow",
    "L": "orange",
    "B": "blue",
}

CENTRE_OF_COLOUR: Final[dict[str, int]] = {
    colour: FACES.index(face) for face, colour in COLOUR_OF_FACE.items()
}
"""The number of each colour's centre (the face that it stands on at the start)."""

CENTRES: Final[tuple[int, ...]] = tuple(CENTRE_OF_COLOUR[colour] for colour in COLOURS)
"""The centres in the order in which ties between colours are broken."""


class UnknownColourError(ValueError):
    """A word that names none of the six cross colours; ``colour`` is the word."""

    def __init__(self, colour: str) -> None:
        super().__init__(
            f"`{colour[:24]}` is not a cross colour. The colours are {', '.join(COLOURS)}."
        )
        self.colour = colour


def pick_colours(colours: Sequence[str] | None) -> tuple[int, ...]:
    """Return the numbers (places in ``COLOURS``) of allowed colours, in that order.

    None means all six; a single name is taken as a list of one. Raises
    UnknownColourError, and ValueError when the sequence is empty.

    >>> pick_colours(["yellow", "white"])
    (0, 1)
    >>> pick_colours("yellow")
    (1,)
    """
    if colours is None:
        return tuple(range(len(COLOURS)))
    if isinstance(colours, str):
        colours = (colours,)
    for colour in colours:
        if colour not in COLOURS:
            raise UnknownColourError(colour)
    if not colours:
        raise ValueError("At least one colour must be allowed.")
    return tuple(number for number, colour in enumerate(COLOURS) if colour in colours)
