"""What improved, in words, with what it rests on."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext as _

from training.improving import EARLIER_WEEKS, RECENT_WEEKS, Change, IdeaChange
from training.web.saying.counting import count
from training.web.saying.ideas import idea_name
from training.web.saying.plainly import difference_in_ten
from training.web.saying.rates import of
from training.web.saying.times import say_date


def change_name(change: Change) -> str:
    """What improved."""
    if isinstance(change, IdeaChange):
        return idea_name(change.code)
    return _("points against the others")


def change_words(change: Change, *, own: bool = False) -> str:
    """What it rests on: the weeks before, and the last ones; ``own``: plainly, for the member."""
    if isinstance(change, IdeaChange):
        return _("answered {before} before, {after} in the last weeks").format(
            before=of(change.before.answered, change.before.called),
            after=of(change.after.answered, change.after.called),
        )
    said = difference_in_ten if own else _against
    return _("{before} before, {after} in the last weeks").format(
        before=said(_mean(change.before)), after=said(_mean(change.after))
    )


def _mean(differences: tuple[float, ...]) -> float:
    return sum(differences) / len(differences)


def _against(mean: float) -> str:
    """The mean over sets of points a plan beside the others'.

    >>> _against(1.5), _against(0.01)
    ('1.5 points a plan more than the others', 'as many points as the others')
    """
    if not round(abs(mean), 1):
        return _("as many points as the others")
    said = (
        _("{number} points a plan more than the others")
        if mean > 0
        else _("{number} points a plan fewer than the others")
    )
    return said.format(number=f"{abs(mean):.1f}")


def looked_words(monday: date, today: date) -> str:
    """Which weeks are compared, and how sure what stands is."""
    return _(
        "The {recent} up to {day} against the {earlier} before them, on random sets. Only what "
        "stands out among all members and ideas of the club is told: on average, at most one "
        "in ten of these is chance."
    ).format(
        recent=count(RECENT_WEEKS, "week"),
        earlier=count(EARLIER_WEEKS, "week"),
        day=say_date(monday, today),
    )
