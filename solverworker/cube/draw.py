"""What a drawing of scrambles is, wherever it is made."""

from __future__ import annotations

from typing import Final, NamedTuple

STATE_DRAWN: Final = "random_state"
"""The method: uniform random states of the whole cube, each turned into face turns."""


class Drawing(NamedTuple):
    """Scrambles as drawn.

    ``method``: how, stored with a set; ``seed``: what gives the same
    scrambles again; ``texts``: the scrambles.
    """

    method: str
    seed: str
    texts: tuple[str, ...]
