"""Geometry of the pictures on the pages, as frozen plain data.

Nothing here knows a row or a request. Each module turns figures into
rectangles, lines and words; a template partial of the same name writes the
SVG. Lengths are in user units of the drawing's own ``view_box``, y downwards.
"""

from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.pictures.net import Net, draw_net
from training.web.pictures.staircase import staircase
from training.web.pictures.stairs import Staircase
from training.web.pictures.turn import TurnPicture, draw_turn

__all__ = [
    "EightRule",
    "Net",
    "Staircase",
    "TurnPicture",
    "draw_net",
    "draw_turn",
    "eight_rule",
    "staircase",
]
