"""A cross drawn: six rings, and the cube in two views, at one moment of some moves.

One call makes it. The same moves as letters (:class:`Track`) let the page's script draw any
other moment of them without asking again.
"""

from __future__ import annotations

from dataclasses import dataclass

from solverworker.cube.frames import edges_of, frames
from solverworker.cube.notation import parse
from training.web.pictures.cube import CubePicture, draw_cube
from training.web.pictures.rings import Rings, draw_rings
from training.web.saying.edges import say_edges, words_for_script


@dataclass(frozen=True, slots=True)
class CrossDrawn:
    """What ``parts/drawn.html`` needs. ``name``: unique on the page; ``words``: where the four
    edges are; ``script``: words for the script, empty where nothing will move."""

    name: str
    rings: Rings
    cube: CubePicture
    words: str
    script: str


@dataclass(frozen=True, slots=True)
class Track:
    """Moves as the script reads them.

    ``frames``: a code for each moment (``Frame.code``), blanks between; ``moves``: the tokens
    between them; ``colours``: the letter of the cross's colour, then of its four edges.
    """

    frames: str
    moves: str
    colours: str


def draw_cross(
    scramble: str,
    moves: str = "",
    *,
    colour: str,
    step: int = 0,
    after: str = "",
    name: str = "cross",
    moving: bool = False,
) -> CrossDrawn:
    """Draw the cross of a colour after a scramble, ``after`` and ``step`` of some moves.

    The cube is seen as it is held then. ``moving``: a script will step it. Raises NotationError
    for what cannot be read, IndexError for a step that is not there, KeyError for a colour
    that the cube does not have.
    """
    found, tokens = frames(scramble, moves, colour, after=after), parse(moves)
    return CrossDrawn(
        name=name,
        rings=draw_rings(found, tokens, step, colour),
        cube=draw_cube(found[step], tokens[step - 1] if step else None, colour),
        words=say_edges(found[step], colour),
        script=words_for_script() if moving else "",
    )


def track(scramble: str, moves: str, colour: str, *, after: str = "") -> Track:
    """Return moves as the script reads them."""
    found = frames(scramble, moves, colour, after=after)
    return Track(
        frames=" ".join([frame.code for frame in found]),
        moves=" ".join([str(token) for token in parse(moves)]),
        colours=colour[0] + "".join([side[0] for side in edges_of(colour)]),
    )
