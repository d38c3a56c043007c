"""Base turn: the bottom turns, so that the gap comes to the edge."""

from __future__ import annotations

from typing import Final

from solverworker.causes.kinds import Happening, Idea, Phrase
from solverworker.tongue import gettext_noop as _

FIRST: Final = _("That is a base turn: the gap comes to the edge")
AGAIN: Final = _("That is a base turn again")
PASSING: Final = _("That is a base turn: it moves the gap on")
BRIEF: Final = _("That is a base turn")


def phrases(turn: Happening) -> list[Phrase]:
    """Name it each time. The gap comes to the edge only where it stays until the edge goes in."""
    if turn.again:
        return [Phrase(AGAIN)]
    return [Phrase(FIRST if turn.beat.stays else PASSING, brief=BRIEF)]


IDEA: Final = Idea(
    code="base_turn",
    order=1,
    rarely_called=False,
    name=_("base turn"),
    meaning=_("The bottom turns until the gap comes to the edge, instead of the edge to the gap."),
    example=_("Red waits above green, so the bottom turns until the gap for red lies under green."),
    phrases=phrases,
)
