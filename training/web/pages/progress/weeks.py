"""A member's weeks beside the group's on the same scrambles, and what may be said of a trend."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from training.selectors.reviews import Week
from training.statistics import WEEKS_FOR_A_TREND, Trend
from training.web.pictures.balance import Balance, draw_balances
from training.web.saying.counting import count
from training.web.saying.plainly import difference_in_ten, in_ten_plans
from training.web.saying.rates import points_words
from training.web.saying.times import say_week

TREND_AT = 0.05
"""Two-sided chance below which a trend is spoken of."""


@dataclass(frozen=True, slots=True)
class WeekShown:
    """One week beside the others. ``balance`` is None where nobody else planned the same.

    ``exactly``: the difference as a mean a plan, for a member who reads a plainer one.
    ``new_rules``: the rules of sets changed in it, so it is not as the weeks before.
    """

    week: str
    plans: int
    points: int
    against: str
    exactly: str
    new_rules: bool
    balance: Balance | None


def show_weeks(weeks: Sequence[Week], today: date, *, own: bool) -> tuple[WeekShown, ...]:
    """The weeks from the first with a checked plan on."""
    begun = next((n for n, one in enumerate(weeks) if one.plans), len(weeks))
    weeks = weeks[begun:]
    balances = draw_balances([one.against_others for one in weeks])
    return tuple(
        WeekShown(
            week=say_week(one.monday, today),
            plans=one.plans,
            points=one.points,
            against=_against(one, plainly=own),
            exactly=_against(one, plainly=False) if own else "",
            new_rules=one.new_rules,
            balance=balance,
        )
        for one, balance in zip(weeks, balances, strict=True)
    )


def _against(one: Week, *, plainly: bool) -> str:
    if not one.plans:
        return _("no plan that week")
    return (difference_in_ten if plainly else against_words)(one.against_others)


def against_words(difference: float | None) -> str:
    """A week's mean of points per plan beside the others' on the same scrambles.

    >>> [against_words(one) for one in (None, 0.02, 1.25, -0.5)]
    ['nobody to compare with', 'as the others', '1.2 more', '0.5 fewer']
    """
    if difference is None:
        return _("nobody to compare with")
    if not round(abs(difference), 1):
        return _("as the others")
    said = _("{number} more") if difference > 0 else _("{number} fewer")
    return said.format(number=f"{abs(difference):.1f}")


def trend_words(
    trend: Trend | None, differences: Sequence[float | None], *, own: bool = False
) -> str:
    """What may be said of a trend: nothing before six weeks with plans that others made too."""
    weeks = sum(one is not None for one in differences)
    if trend is None:
        return _(
            "Too early to speak of a trend: "
            "{weeks} with plans that others made too, and it takes {least}."
        ).format(weeks=count(weeks, "week"), least=WEEKS_FOR_A_TREND)
    if trend.p > TREND_AT:
        return _(
            "Not enough evidence of a change yet: "
            "chance alone may explain how the weeks go up and down."
        )
    if own:
        points = in_ten_plans(abs(trend.slope))
        said = (
            _("Gaining on the others: {points} in 10 plans each week.")
            if trend.slope < 0
            else _("The others are gaining: {points} in 10 plans each week.")
        )
        return said.format(points=points)
    if trend.slope < 0:
        said = _("Gaining on the others: about {points} per plan each week.")
    else:
        said = _("The others are gaining: about {points} per plan each week.")
    return said.format(points=points_words(abs(trend.slope)))
