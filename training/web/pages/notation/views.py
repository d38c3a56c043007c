"""The key to the notation, with pictures."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.web.pictures.turn import TurnPicture, draw_turn

_FACES = tuple(draw_turn(letter + suffix) for letter in "RLUDFB" for suffix in ("", "'", "2"))
_BLOCKS = tuple(draw_turn(letter + "w") for letter in "RLUDFB")
_SLICES = tuple(draw_turn(letter) for letter in "MES")
_ROTATIONS = tuple(draw_turn(letter) for letter in "xyz")


@require_safe
def notation(request: HttpRequest) -> HttpResponse:
    """Every kind of move: its picture, how it is written, what it costs."""
    groups: list[tuple[str, str, tuple[TurnPicture, ...]]] = [
        (
            "Face turns",
            "One face turns. Each counts 1 move. A letter alone is a quarter turn clockwise as "
            "seen from that face; ' is the other way; 2 is a half turn.",
            _FACES,
        ),
        (
            "Two layers at once",
            "A face and the layer beside it. Each counts 1 move. "
            "Club spelling also reads r for Rw.",
            _BLOCKS,
        ),
        (
            "Middle layers",
            "Read in club spelling only. Each counts 2 moves, because two faces would do the same.",
            _SLICES,
        ),
        (
            "Turning the whole cube",
            "Costs nothing: 0 moves. Always in lower case.",
            _ROTATIONS,
        ),
    ]
    return render(request, "pages/notation/notation.html", {"groups": groups})
