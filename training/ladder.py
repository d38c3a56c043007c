"""How long a cross of a member's own practice is: a ladder of two, three, four … moves.

Beginners start at what they already see to the end, everybody else one move
beyond. Nobody goes down, and the next rung comes with 8 exact plans of the
last 10 on the present one. A beginner is never alone with a cross of seven.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

FIRST, TOP = 2, 7
BEGINNERS_REACH = 3
"""Up to this reach somebody is a beginner here: still on the way to whole plans."""

OF_LAST, EXACT = 10, 8


@dataclass(frozen=True, slots=True)
class Ladder:
    """Where a member stands: ``rung`` moves; of the last ``tried`` plans there, ``exact``."""

    rung: int
    tried: int
    exact: int

    @property
    def lengths(self) -> tuple[int, int]:
        """The least and the most moves of a cross: at the top the few of eight too."""
        return self.rung, self.rung + (self.rung == TOP)

    @property
    def is_top(self) -> bool:
        """Whether there is no further rung."""
        return self.rung == TOP


def rung_of_reach(reach: int | None) -> int:
    """Return where somebody begins; ``reach`` is None for one who has solved nothing yet.

    >>> [rung_of_reach(reach) for reach in (None, 0, 3, 4, 8)]
    [2, 2, 3, 5, 7]
    """
    if reach is None or reach <= BEGINNERS_REACH:
        return max(FIRST, reach or 0)
    return min(reach + 1, TOP)


def seen_to(at_least: Sequence[float | None]) -> int | None:
    """Return how far somebody sees by steps that have enough plans; None where none has.

    ``at_least``: :attr:`training.reach.Reach.at_least`.

    >>> seen_to([1.0, 0.9, 0.6, 0.4, None]), seen_to([None] * 8)
    (3, None)
    """
    shown = [(k, chance) for k, chance in enumerate(at_least, start=1) if chance is not None]
    if not shown:
        return None
    return max((k for k, chance in shown if chance >= 0.5), default=0)


def ladder_of(rung: int, last: Sequence[bool]) -> Ladder:
    """Return where somebody stands who practised on a rung.

    ``last``: whether each of the latest plans there was exact, the newest
    first. With enough of them exact it is the next rung, where nothing is tried.

    >>> ladder_of(3, [True] * 8 + [False] * 2)
    Ladder(rung=4, tried=0, exact=0)
    >>> ladder_of(3, [True] * 7 + [False] * 3)
    Ladder(rung=3, tried=10, exact=7)
    """
    recent = list(last[:OF_LAST])
    if len(recent) == OF_LAST and sum(recent) >= EXACT and rung < TOP:
        return Ladder(rung + 1, 0, 0)
    return Ladder(rung, len(recent), sum(recent))
