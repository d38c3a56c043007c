"""Shared turn: one turn helps two edges at once."""

from __future__ import annotations

from typing import Final

from solverworker.causes.kinds import Happening, Idea, Phrase
from solverworker.tongue import gettext_noop as _


def phrases(turn: Happening) -> list[Phrase]:
    """Add nothing: the sentence of the turn itself names it (``does``)."""
    return []


IDEA: Final = Idea(
    code="shared_turn",
    order=2,
    rarely_called=False,
    name=_("shared turn"),
    meaning=_("One turn helps two edges at once."),
    example=_("The turn that brings green down lifts orange into the middle as well."),
    phrases=phrases,
    does=(
        _("{move} is a shared turn: it {does}"),
        _("{move} works for two edges again: it {does}"),
    ),
)
