"""The ideas that save moves, and the other causes of lost moves, by the names people use."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from solverworker.causes import CAUSES
from solverworker.words import name_of
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
    return TONGUE.gettext(CAUSES[code].meaning)


def idea_anchor(code: str) -> str:
    """Where the members' guide tells of a technique.

    >>> idea_anchor("base_turn")
    'idea-base-turn'
    """
    return f"idea-{code.replace('_', '-')}"


@dataclass(frozen=True, slots=True)
class IdeaTold:
    """A technique by the name that people use, what it is, an example; where the guide has it."""

    name: str
    meaning: str
    example: str
    anchor: str


def ideas_told(codes: Iterable[str]) -> tuple[IdeaTold, ...]:
    """Techniques with what each is, every one once, in the order given.

    >>> [one.name for one in ideas_told(["base_turn", "shared_turn", "base_turn"])]
    ['base turn', 'shared turn']
    """
    return tuple(
        IdeaTold(
            idea_name(code),
            idea_meaning(code),
            TONGUE.gettext(CAUSES[code].example),
            idea_anchor(code),
        )
        for code in dict.fromkeys(codes)
    )
