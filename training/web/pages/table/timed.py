"""The list of timed plans beside a table, laid out."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext as _

from training.selectors.timed_plans import TimedPlans
from training.web.saying.counting import count
from training.web.saying.inspections import seconds
from training.web.saying.plainly import about, about_seconds


@dataclass(frozen=True, slots=True)
class TimedLine:
    """One member of ``pages/table/timed.html``; ``note``: how many were over, or empty.

    ``plainly``: the reader's own line in a sentence of whole numbers, empty for others.
    """

    member: str
    own: bool
    plans: int
    over: str
    time: str
    note: str
    plainly: str


def timed_line(one: TimedPlans) -> TimedLine:
    """Lay out one member's timed plans."""
    return TimedLine(
        member=one.member,
        own=one.own,
        plans=one.score.crosses,
        over=f"{one.score.points / one.score.crosses:.1f}",
        time=seconds(one.mean),
        note=_("{plans} over 15 s").format(plans=count(one.over, "plan")) if one.over else "",
        plainly=_plainly(one) if one.own else "",
    )


def _plainly(one: TimedPlans) -> str:
    said = _("You: {plans} timed. On average {moves} over and {seconds}.")
    return said.format(
        plans=count(one.score.crosses, "plan"),
        moves=about(Fraction(one.score.points, one.score.crosses), "move"),
        seconds=about_seconds(one.mean),
    )
