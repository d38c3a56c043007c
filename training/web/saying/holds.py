"""How a cube is held, in words."""

from __future__ import annotations

from django.utils.translation import gettext as _

from solverworker.cube.first_hold import TopAndFront
from training.web.saying.plans import colour_name


def hold_words(hold: TopAndFront) -> str:
    """A hold by the colours on top and in front.

    >>> hold_words(TopAndFront("white", "green"))
    'white on top, green in front'
    """
    return _("{top} on top, {front} in front").format(
        top=colour_name(hold.top), front=colour_name(hold.front)
    )
