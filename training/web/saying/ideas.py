"""The ideas that save moves, and the other causes of lost moves, by the names people use."""

from __future__ import annotations

from solverworker.words import ENTRIES, name_of
from training.web.saying.tongue import TONGUE


def idea_name(code: str) -> str:
    """A technique or another cause of lost moves, by the name that people use.

    >>> idea_name("base_turn")
    'base turn'
    """
    return name_of(code, TONGUE)


def idea_meaning(code: str) -> str:
    """What a technique is, or what another cause of lost moves means, in a sentence or two.

    >>> idea_meaning("shared_turn")
    'One turn helps two edges at once.'
    """
    return TONGUE.gettext(ENTRIES[code].meaning)
