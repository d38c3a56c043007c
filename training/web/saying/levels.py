"""A member's own level in words: a day's total, the weeks before it, the best of their days."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from django.utils.translation import gettext as _

from training.own_level import DaySum, Level
from training.web.saying.counting import count
from training.web.saying.plainly import about, about_points
from training.web.saying.rates import of
from training.web.saying.times import say_date


def total_words(points: int, crosses: int) -> str:
    """A total as the table has it.

    >>> total_words(11, 5), total_words(0, 1)
    ('11 over the best on 5 crosses', 'nothing over the best on 1 cross')
    """
    said = _("{points} over the best on {crosses}") if points else _("{none} on {crosses}")
    return said.format(
        points=points, none=_("nothing over the best"), crosses=count(crosses, "cross")
    )


def day_words(found: DaySum) -> str:
    """What one day came to, with how many were planned where that were not all.

    >>> day_words(DaySum(date(2026, 11, 24), 5, 3, 4, 3, 1))
    '4 over the best on 3 crosses (3 of 5 planned)'
    """
    said = total_words(found.points, found.plans)
    if found.whole:
        return said
    return _("{total} ({planned} planned)").format(
        total=said, planned=of(found.plans, found.crosses)
    )


def mean_words(rank: int, among: int, mean: Fraction, sets: int) -> str:
    """Where a mean puts its reader, in whole moves: the table has the tenths.

    >>> mean_words(3, 12, Fraction(5, 2), 9)
    'You are number 3 of 12, with about 3 moves over in a set. That is by 9 sets; tenths are below.'
    >>> mean_words(1, 2, Fraction(2), 1)
    'You are number 1 of 2, with 2 moves over in a set. That is by 1 set.'
    """
    said = _("You are number {rank} of {among}, with {moves} over in a set. That is by {sets}.")
    if mean.denominator != 1:
        said = _(
            "You are number {rank} of {among}, with {moves} over in a set. That is by {sets}; "
            "tenths are below."
        )
    return said.format(rank=rank, among=among, moves=about(mean, "move"), sets=count(sets, "set"))


def level_lines(level: Level, today: date) -> tuple[str, ...]:
    """The own weeks before in sentences; none where there are too few plans to tell."""
    lines = []
    if level.mean is not None:
        said = _("Your eight weeks before: {points} over on {crosses}.")
        crosses = count(level.crosses, "cross")
        lines.append(said.format(points=about_points(level.mean), crosses=crosses))
    if level.best is not None:
        lines.append(
            _("Your best day with {crosses}: {points} over, {day}.").format(
                crosses=count(level.crosses, "cross"),
                points=level.best.points,
                day=say_date(level.best.day, today),
            )
        )
    return tuple(lines)
