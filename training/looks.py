"""Weekly looks: what stands of members and ideas, computed from data and never stored.

A look is taken on Monday at 00:00 and sees the eight weeks before. A flag
appears at the first look at which it holds and goes after two at which it
fails, so the last two tell it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from solverworker.causes import IDEAS
from training.statistics import Tally
from training.yardsticks import Flag, Reading, readings, standing

WEEKS = 8

Tallies = Mapping[str, Tally]
"""By idea."""


@dataclass(frozen=True, slots=True)
class Look:
    """A weekly look: it sees the days from ``since`` to the one before ``monday``."""

    monday: date

    @property
    def since(self) -> date:
        """The first day seen."""
        return self.monday - timedelta(weeks=WEEKS)

    @property
    def before(self) -> Look:
        """The look of a week earlier."""
        return Look(self.monday - timedelta(weeks=1))

    def sees(self, day: date) -> bool:
        """Whether a day is among those seen."""
        return self.since <= day < self.monday


def last_look(today: date) -> Look:
    """The last look taken: that of today's week.

    >>> last_look(date(2026, 11, 26)).monday
    datetime.date(2026, 11, 23)
    """
    return Look(today - timedelta(days=today.weekday()))


def read_group(
    members: Sequence[Tallies], targets: Mapping[str, float]
) -> list[dict[str, Reading]]:
    """Read all ideas of all members of a group, in order. ``targets``: by idea."""
    found: list[dict[str, Reading]] = [{} for _ in members]
    for code in IDEAS:
        column = readings([tallies[code] for tallies in members], targets[code])
        for one, reading in zip(found, column, strict=True):
            one[code] = reading
    return found


def flags(last: Mapping[str, Reading], before: Mapping[str, Reading]) -> dict[str, Flag]:
    """The flags that stand after two looks, by idea.

    An idea that is rarely called for is judged by what it costs and by picked
    sets, and has no flag.
    """
    return {
        code: Flag.UNKNOWN if idea.rarely_called else standing(last[code].flag, before[code].flag)
        for code, idea in IDEAS.items()
    }
