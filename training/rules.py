"""What decides a result in a set, and what a picked set is drawn to. Pure: frozen values.

A set keeps the rules of the moment at which it was issued: a setting changed
later changes nothing that is out. How rows keep them is in
:mod:`training.models.settings`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, ClassVar

CAP = 8
"""What an unsolved cross counts, and the most that a solved one may count.

The same in every set: any cross can be solved in eight moves or fewer.
"""


class Sight(StrEnum):
    """When something of a set opens to members: the answers, or the table. Earliest first."""

    OPEN = "open"
    OWN_PLAN = "own_plan"
    CLOSING = "closing"
    COACHES = "coaches"

    def is_before(self, other: Sight) -> bool:
        """Whether what has this sight could open before what has the other."""
        order = list(Sight)
        return order.index(self) < order.index(other)


class Spelling(StrEnum):
    """How plans may be written: as the club writes, or by WCA Article 12 alone."""

    CLUB = "club"
    STRICT = "strict"


class Timing(StrEnum):
    """Whether inspection is timed: as each member likes, always, or never.

    In a set that is timed only, a plan without a time that counts charges the cap.
    """

    EITHER = "either"
    TIMED = "timed"
    UNTIMED = "untimed"


class Held(StrEnum):
    """How a plan says in which hold it begins: by its rotations, or by two colours beside it."""

    WRITTEN = "written"
    FREE = "free"


@dataclass(frozen=True, slots=True)
class SetRules:
    """The rules of one set.

    ``colours``: the cross colours allowed; ``spelling``: a :class:`Spelling`;
    ``answers_to``, ``table_to``: the :class:`Sight` of answers and table;
    ``best_sets_counted``: how many sets of a week count that begins with it,
    None for all; ``timing``: a :class:`Timing`; ``held``: a :class:`Held`.
    """

    colours: tuple[str, ...]
    spelling: str
    answers_to: str
    table_to: str
    best_sets_counted: int | None
    timing: str
    held: str

    cap: ClassVar[int] = CAP

    @property
    def strict(self) -> bool:
        """Whether plans are read by WCA Article 12 alone."""
        return self.spelling == Spelling.STRICT

    @property
    def for_oneself(self) -> SetRules:
        """The rules of a set of one's own after them: no time charges anything there."""
        return replace(self, timing=Timing.EITHER) if self.timing == Timing.TIMED else self

    @property
    def held_freely(self) -> bool:
        """Whether two colours say how the cube is held at the start."""
        return self.held == Held.FREE


@dataclass(frozen=True, slots=True)
class PickedProfile:
    """What a picked set is drawn to.

    ``fresh``: for each cross that a worker draws, in order, the technique that
    it calls for at the start; None for one as it comes. ``lengths``: the least
    and the most moves of a shortest solution; None for any.

    ``technique``: the idea of a lesson. ``techniques``: the ideas of a
    member's practice. ``calls``: what each cross of a practice calls for, those
    that come back first, then the fresh ones.

    >>> PickedProfile.from_json(PickedProfile.of_lesson("base_turn", 2, (4, 6)).to_json()).fresh
    ('base_turn', 'base_turn')
    """

    fresh: tuple[str | None, ...]
    lengths: tuple[int, int] | None = None
    technique: str | None = None
    techniques: tuple[str, ...] = ()
    calls: tuple[str | None, ...] = ()

    @classmethod
    def of_lesson(cls, technique: str, scrambles: int, lengths: tuple[int, int]) -> PickedProfile:
        """Every cross of the set calls for one idea."""
        return cls(fresh=(technique,) * scrambles, lengths=lengths, technique=technique)

    @classmethod
    def of_lengths(cls, scrambles: int, lengths: tuple[int, int]) -> PickedProfile:
        """Crosses as they come, of some lengths."""
        return cls(fresh=(None,) * scrambles, lengths=lengths)

    @classmethod
    def of_practice(
        cls,
        techniques: tuple[str, ...],
        coming_back: tuple[str, ...],
        fresh: int,
        lengths: tuple[int, int] | None = None,
    ) -> PickedProfile:
        """Crosses that come back, then ``fresh`` ones by turns on the techniques, if any."""
        begun = cls(fresh=(), lengths=lengths, techniques=techniques, calls=coming_back)
        return begun.with_more(fresh)

    def with_more(self, count: int) -> PickedProfile:
        """The profile of a practice that goes on with so many fresh crosses.

        >>> PickedProfile.of_practice(("base_turn", "shared_turn"), (), 1).with_more(2).fresh
        ('base_turn', 'shared_turn', 'base_turn')
        """
        ideas = self.techniques or (None,)
        there = len(self.fresh)
        more = tuple(ideas[place % len(ideas)] for place in range(there, there + count))
        return replace(self, fresh=self.fresh + more, calls=self.calls + more)

    def called_by(self, number: int) -> str | None:
        """What a cross of a practice calls for, by its number from 1; None for other sets."""
        return self.calls[number - 1] if number <= len(self.calls) else None

    def to_json(self) -> dict[str, Any]:
        """As it is stored with a set."""
        return {
            "fresh": list(self.fresh),
            "lengths": list(self.lengths) if self.lengths else None,
            "technique": self.technique,
            "techniques": list(self.techniques),
            "calls": list(self.calls),
        }

    @classmethod
    def from_json(cls, stored: Mapping[str, Any]) -> PickedProfile:
        """The profile of a set; what an older version of the site did not store is left empty."""
        lengths = stored.get("lengths")
        return cls(
            fresh=tuple(stored.get("fresh", ())),
            lengths=(lengths[0], lengths[1]) if lengths else None,
            technique=stored.get("technique"),
            techniques=tuple(stored.get("techniques", ())),
            calls=tuple(stored.get("calls", ())),
        )
