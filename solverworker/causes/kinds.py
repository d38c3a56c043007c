"""The kinds of causes, and what an idea may say of a turn in which it happens."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from solverworker.cube.story import Beat, Story


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """What moves can be lost to.

    ``code``: its name in every report and table. The rest is for people:
    ``name``, as in "a base turn"; ``meaning``: what it is, in words a child
    understands; ``example``: one sentence in which it happens.
    """

    code: str
    name: str
    meaning: str
    example: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Residue(Cause):
    """What is left when no idea was missed.

    ``wasted``: whether moves of the plan were wasted; the choice of the colour
    comes before any.
    """

    wasted: bool = True


@dataclass(frozen=True, slots=True)
class Happening:
    """A turn of a story in which an idea happens.

    ``index``: of the turn; ``again``: whether the idea was named in an earlier
    turn of the story.
    """

    story: Story
    index: int
    again: bool

    @property
    def beat(self) -> Beat:
        """What the turn does."""
        return self.story.beats[self.index]


class Phrase(NamedTuple):
    """A clause about a turn.

    ``text``: may hold ``{edge}`` and ``{move}``; ``edge``: a colour, told as
    "the green edge"; ``move``: a token, told as a move. ``brief``: the same in
    fewer words, for a turn of which there is much to tell.
    """

    text: str
    edge: str = ""
    move: str = ""
    brief: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Idea(Cause):
    """An idea that saves moves.

    ``order``: its place among the ideas, from 0, and its bit in a mask.
    ``rarely_called``: whether so few crosses call for it that a member's rate
    says nothing. ``phrases``: what is added to the sentence of a turn in which
    it happens; it must be named there the first time. ``does``: for an idea
    that is the turn itself, how the sentence of a turn of the top or the sides
    reads the first time and later; holds ``{move}`` and ``{does}``.
    """

    order: int
    rarely_called: bool
    phrases: Callable[[Happening], Sequence[Phrase]]
    does: tuple[str, str] | None = None
