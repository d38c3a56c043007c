"""The net: the six faces laid flat, each sticker with a colour, a pattern and a letter."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext_lazy

from solverworker.report import COLOURS
from training.web.saying.plans import colour_name

FACES = ("U", "L", "F", "R", "B", "D")
"""The faces in the order in which they are drawn, read out and sent to the page's script."""

_CORNERS = {"U": (1, 0), "L": (0, 1), "F": (1, 1), "R": (2, 1), "B": (3, 1), "D": (1, 2)}
_NAMES = {
    "U": gettext_lazy("top"),
    "L": gettext_lazy("left"),
    "F": gettext_lazy("front"),
    "R": gettext_lazy("right"),
    "B": gettext_lazy("back"),
    "D": gettext_lazy("bottom"),
}
_SIDE = 22.0
_FACE = 3 * _SIDE + 5.0
_WEAVES = frozenset(COLOURS) - {"white"}


@dataclass(frozen=True, slots=True)
class Sticker:
    """One sticker: its corner, its colour's name and the lower-case letter on it."""

    x: float
    y: float
    letter_x: float
    letter_middle: float
    letter_y: float
    colour: str
    letter: str
    woven: bool


@dataclass(frozen=True, slots=True)
class Net:
    """What ``pictures/net.html`` needs. ``code`` is all 54 letters in the drawing's order.

    ``spoken``: the names of faces and colours as JSON, for the script that describes a net anew.
    """

    width: float
    height: float
    side: float
    stickers: tuple[Sticker, ...]
    description: str
    code: str
    spoken: str


def net_code(faces: Mapping[str, Sequence[str]]) -> str:
    """Return the 54 letters of a net, face by face in the order of ``FACES``.

    >>> net_code({face: ["white"] * 9 for face in FACES}) == "w" * 54
    True
    """
    return "".join(colour[0] for face in FACES for colour in faces[face])


def draw_net(faces: Mapping[str, Sequence[str]]) -> Net:
    """Draw a net from ``faces``: face letter → nine colour names, row by row from its top left.

    The faces stand as they look when the cube is unfolded around its front.
    Raises KeyError for a missing face, ValueError for a face without nine
    stickers or an unknown colour.
    """
    stickers: list[Sticker] = []
    said: list[str] = []
    for face in FACES:
        colours = faces[face]
        if len(colours) != 9:
            raise ValueError(f"face {face} has {len(colours)} stickers, not 9")
        column, row = _CORNERS[face]
        for index, colour in enumerate(colours):
            if colour not in COLOURS:
                raise ValueError(f"{colour!r} is not a colour of the cube")
            x = 1 + column * _FACE + (index % 3) * _SIDE
            y = 1 + row * _FACE + (index // 3) * _SIDE
            stickers.append(
                Sticker(
                    x=x,
                    y=y,
                    letter_x=x + _SIDE / 2,
                    letter_middle=y + _SIDE / 2,
                    letter_y=y + _SIDE / 2 + 4.6,
                    colour=colour,
                    letter=colour[0],
                    woven=colour in _WEAVES,
                )
            )
        names = [colour_name(colour) for colour in colours]
        rows = "; ".join(" ".join(names[start : start + 3]) for start in (0, 3, 6))
        said.append(f"{_NAMES[face]}: {rows}")
    return Net(
        width=4 * _FACE - 3,
        height=3 * _FACE - 3,
        side=_SIDE,
        stickers=tuple(stickers),
        description=". ".join(said) + ".",
        code=net_code(faces),
        spoken=_spoken(),
    )


def _spoken() -> str:
    return json.dumps(
        {
            "faces": [str(_NAMES[face]) for face in FACES],
            "colours": {colour[0]: colour_name(colour) for colour in COLOURS},
        }
    )
