"""How members are ranked: excess, cap, order, equal ranks. Pure, no rows, no pages.

The rule, from WCA 9f12b (shorter is better) and 9f14 (equal results share a
rank): the least total of moves over the best comes first; then more crosses
solved; then more solved exactly at the best; equal results share a rank, and
the rank after them counts everybody before it (1, 2, 2, 4).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from training.rules import CAP


@dataclass(frozen=True, slots=True)
class Mark:
    """What one scramble counts for one member.

    ``points``: moves counted, 0…8. ``solved``: a plan solved it. ``exact``: in
    the least number of moves.
    """

    points: int
    solved: bool
    exact: bool


UNSOLVED = Mark(points=CAP, solved=False, exact=False)


def mark_for(excess: int | None) -> Mark:
    """The mark of a checked plan; ``excess`` is None when it does not solve.

    >>> mark_for(2), mark_for(11).points, mark_for(None).points
    (Mark(points=2, solved=True, exact=False), 8, 8)
    """
    if excess is None:
        return UNSOLVED
    if excess < 0:
        raise ValueError(f"no plan beats the best: excess {excess}")
    return Mark(points=min(excess, CAP), solved=True, exact=excess == 0)


@dataclass(frozen=True, slots=True)
class Score:
    """Marks added up over scrambles. ``crosses`` is how many were counted."""

    points: int = 0
    solved: int = 0
    exact: int = 0
    crosses: int = 0

    def __add__(self, other: Score) -> Score:
        return Score(
            self.points + other.points,
            self.solved + other.solved,
            self.exact + other.exact,
            self.crosses + other.crosses,
        )

    @property
    def order(self) -> tuple[int, int, int]:
        """Sorts the better score first."""
        return (self.points, -self.solved, -self.exact)


def score(marks: Iterable[Mark]) -> Score:
    """The sum of some marks."""
    total = Score()
    for mark in marks:
        total += Score(mark.points, int(mark.solved), int(mark.exact), 1)
    return total


def best_sets(scores: Sequence[Score], counted: int | None) -> tuple[Score, ...]:
    """The scores that count when a club lets the best ``counted`` sets count (None: all)."""
    if counted is None:
        return tuple(scores)
    return tuple(sorted(scores, key=lambda one: one.order)[:counted])


def total(scores: Iterable[Score]) -> Score:
    """The sum of scores."""
    result = Score()
    for one in scores:
        result += one
    return result


MeanOrder = tuple[Fraction, Fraction, Fraction]


def mean_order(scores: Sequence[Score]) -> MeanOrder:
    """Orders by the mean over sets: points, then solved, then exact, as exact fractions.

    Raises ValueError when there is no set to take a mean over.
    """
    if not scores:
        raise ValueError("a mean needs at least one set")
    whole, sets = total(scores), len(scores)
    return (
        Fraction(whole.points, sets),
        Fraction(-whole.solved, sets),
        Fraction(-whole.exact, sets),
    )


def ranks(orders: Sequence[tuple[int | Fraction, ...]]) -> list[int]:
    """Standard competition ranks of results given by their sort keys, in the given order.

    >>> ranks([(3,), (5,), (5,), (9,)])
    [1, 2, 2, 4]
    """
    first: dict[tuple[int | Fraction, ...], int] = {}
    for position, order in enumerate(sorted(orders), start=1):
        first.setdefault(order, position)
    return [first[order] for order in orders]


@dataclass(frozen=True, slots=True)
class Summed:
    """A member's sum over the sets of a season.

    ``counting``: the scores that count; ``late``: some set of the season does not
    count for the member, who is then ranked by the mean in a list of those.
    """

    counting: tuple[Score, ...]
    late: bool

    @property
    def score(self) -> Score:
        return total(self.counting)


def summed(scores: Sequence[Score | None], counted: int | None) -> Summed | None:
    """A member's sum: the best ``counted`` of the sets inside (None: all), or of all there are.

    ``scores``: one for each set of the season, None where it does not count for the
    member. None when none does.

    >>> one, none = Score(3, 1, 0, 1), None
    >>> summed([one, Score(8, 0, 0, 1), one], 2).score.points, summed([one, none], 2).late
    (6, True)
    """
    inside = [one for one in scores if one is not None]
    if not inside:
        return None
    return Summed(best_sets(inside, counted), late=len(inside) < len(scores))
