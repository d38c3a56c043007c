"""Pieces of a picture that look the same each time: written once by their template, then kept.

A drawing of the cube is a hundred elements, of which a move changes a dozen, and each of those
is one of a few hundred there can be.
"""

from __future__ import annotations

from functools import lru_cache

from django.template.loader import render_to_string
from django.utils.safestring import SafeString


@lru_cache(maxsize=4096)
def drawn_once(template: str, piece: object) -> SafeString:
    """Write a piece by its template, which gets it as ``piece``.

    The piece is frozen, made once and compared by what it is, not by its value; it has no words
    in any language, for they would be kept too.
    """
    return render_to_string(template, {"piece": piece})
