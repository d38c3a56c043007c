"""Numbers as a child says them: whole ones first, never surer than they are.

Each wording follows from the number by a rule that is stated beside it. Pages for coaches have the
exact ones; pages for members have these, and the exact one a tap away.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor

from django.utils.translation import gettext as _

from training.statistics import LEAST_CALLED
from training.web.saying.counting import count
from training.web.saying.rates import of


def nearest(number: Fraction | float) -> int:
    """The nearest whole number, the greater of two that are equally near.

    >>> nearest(Fraction(5, 2)), nearest(2.4), nearest(0)
    (3, 2, 0)
    """
    return floor(_exact(number) + Fraction(1, 2))


def _exact(number: Fraction | float) -> Fraction:
    """A sum of floats as the fraction that was meant, as far as nine places tell."""
    if isinstance(number, float):
        return Fraction(round(number, 9)).limit_denominator(10**6)
    return Fraction(number)


def in_ten(part: int, whole: int) -> str:
    """A rate: the nearest number in ten, the greater of two that are equally near.

    *always* and *none so far* are said of all and of none alone; what is nearest to ten or to
    none without being it is *nearly always* or *hardly ever*. Exactly so many in ten is
    said without "about". Raises ValueError for what is no rate.

    >>> in_ten(8, 20), in_ten(3, 8), in_ten(1, 40), in_ten(39, 40)
    ('4 in 10', 'about 4 in 10', 'hardly ever', 'nearly always')
    >>> in_ten(5, 5), in_ten(0, 5)
    ('always', 'none so far')
    """
    if not 0 <= part <= whole or not whole:
        raise ValueError(f"{part} of {whole} is no rate")
    rate = Fraction(part, whole)
    return _chance(rate)


def chance_in_ten(rate: float) -> str:
    """The same of a chance that is no count.

    >>> chance_in_ten(0.31), chance_in_ten(0.02), chance_in_ten(1.0)
    ('about 3 in 10', 'hardly ever', 'always')
    """
    return _chance(_exact(rate))


def _chance(rate: Fraction) -> str:
    if rate in (0, 1):
        return _("always") if rate else _("none so far")
    number = nearest(10 * rate)
    if not number:
        return _("hardly ever")
    if number == 10:
        return _("nearly always")
    if number == 10 * rate:
        return _("{number} in 10").format(number=number)
    return _("about {number} in 10").format(number=number)


def rate(part: int, whole: int) -> str:
    """A rate in plain words; with too few to speak of a rate the bare count.

    >>> rate(2, 3), rate(12, 40)
    ('2 of 3', '3 in 10')
    """
    return of(part, whole) if whole < LEAST_CALLED else in_ten(part, whole)


def about(number: Fraction | float, unit: str) -> str:
    """A number that may be no whole one, as the nearest that is, with its unit.

    Less than a half, and not nothing, is *less than 1*.

    >>> about(Fraction(5, 2), "move"), about(2, "move"), about(0.3, "move"), about(0, "move")
    ('about 3 moves', '2 moves', 'less than 1 move', '0 moves')
    """
    whole = nearest(number)
    if _exact(number) == whole:
        return count(whole, unit)
    if not whole:
        return _("less than {number}").format(number=count(1, unit))
    return _("about {number}").format(number=count(whole, unit))


def about_seconds(milliseconds: int) -> str:
    """A time in whole seconds.

    >>> about_seconds(14_240), about_seconds(14_500), about_seconds(9_000), about_seconds(400)
    ('about 14 seconds', 'about 15 seconds', '9 seconds', 'less than 1 second')
    """
    return about(Fraction(milliseconds, 1000), "second")


def about_points(number: Fraction | float) -> str:
    """Points without their unit, for a column.

    >>> about_points(Fraction(5, 2)), about_points(96), about_points(Fraction(1, 3))
    ('about 3', '96', 'under 1')
    """
    whole = nearest(number)
    if _exact(number) == whole:
        return str(whole)
    if not whole:
        return _("under {number}").format(number=1)
    return _("about {number}").format(number=whole)


def difference_in_ten(per_plan: float | None) -> str:
    """Points a plan more or fewer than others, over ten plans.

    >>> [difference_in_ten(one) for one in (None, 0.04, 1.25, -0.5)]
    ['nobody to compare with', 'as the others', '13 more in 10 plans', '5 fewer in 10 plans']
    """
    if per_plan is None:
        return _("nobody to compare with")
    number = nearest(_tenfold(abs(per_plan)))
    if not number:
        return _("as the others")
    said = _("{number} more in 10 plans") if per_plan > 0 else _("{number} fewer in 10 plans")
    return said.format(number=number)


def in_ten_plans(per_plan: float) -> str:
    """Points a plan as whole points over ten of them.

    >>> in_ten_plans(0.2), in_ten_plans(0.234), in_ten_plans(0.01)
    ('2 points', 'about 2 points', 'less than 1 point')
    """
    return about(_tenfold(per_plan), "point")


def _tenfold(per_plan: float) -> Fraction:
    return 10 * _exact(per_plan)
