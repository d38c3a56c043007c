"""Where the four edges of a cross are, in words: a sentence each, never 54 colours."""

from __future__ import annotations

import json

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from solverworker.cube.frames import Frame, edges_of
from solverworker.cube.pieces import EDGE_PLACES
from solverworker.cube.turns import FACES
from solverworker.report import COLOURS
from training.web.saying.plans import colour_name

_PLACES = {
    "UF": gettext_lazy("top, in front"),
    "UR": gettext_lazy("top, right"),
    "UB": gettext_lazy("top, behind"),
    "UL": gettext_lazy("top, left"),
    "FR": gettext_lazy("middle, in front at the right"),
    "FL": gettext_lazy("middle, in front at the left"),
    "BR": gettext_lazy("middle, behind at the right"),
    "BL": gettext_lazy("middle, behind at the left"),
    "DF": gettext_lazy("bottom, in front"),
    "DR": gettext_lazy("bottom, right"),
    "DB": gettext_lazy("bottom, behind"),
    "DL": gettext_lazy("bottom, left"),
}

_FACING = {
    "U": gettext_lazy("facing up"),
    "R": gettext_lazy("facing right"),
    "F": gettext_lazy("facing front"),
    "D": gettext_lazy("facing down"),
    "L": gettext_lazy("facing left"),
    "B": gettext_lazy("facing back"),
}


def say_edge(edge: int, cross: str, side: str) -> str:
    """Say where an edge is (see ``frames.Frame``) and where its cross colour faces.

    >>> say_edge(1, "white", "red")
    'white and red: top, in front, white facing front'
    """
    name = EDGE_PLACES[edge // 2]
    return _edge().format(
        cross=colour_name(cross),
        side=colour_name(side),
        place=_PLACES[name],
        facing=_FACING[name[edge % 2]],
    )


def say_edges(frame: Frame, cross: str) -> str:
    """Say where all four are, in one text."""
    sides = edges_of(cross)
    said = [say_edge(edge, cross, side) for edge, side in zip(frame.edges, sides, strict=True)]
    return "; ".join(said) + "."


def _edge() -> str:
    return _("{cross} and {side}: {place}, {cross} {facing}")


def words_for_script() -> str:
    """All of these words as JSON, for the script that tells of the edges anew.

    Colours and faces by letter, places in the order of ``EDGE_PLACES``; ``prime`` and ``twice``
    say a move as :func:`training.web.saying.spoken.say_token` does.
    """
    return json.dumps(
        {
            "edge": _edge(),
            "colours": {colour[0]: colour_name(colour) for colour in COLOURS},
            "places": [str(_PLACES[name]) for name in EDGE_PLACES],
            "facing": {face: str(_FACING[face]) for face in FACES},
            "prime": _("{letter} counter-clockwise"),
            "twice": _("{letter} twice"),
        },
        ensure_ascii=False,
        separators=(",", ":"),
    )
