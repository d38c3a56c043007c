"""Time beside excess on somebody's progress, laid out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.urls import reverse
from django.utils.translation import gettext as _

from training.models import Membership
from training.selectors.inspection_times import InspectionTimes, PlansTogether, TimedPlan
from training.web.saying.counting import count
from training.web.saying.inspections import inspection_words, seconds
from training.web.saying.plainly import about, about_seconds
from training.web.saying.times import say_date


@dataclass(frozen=True, slots=True)
class TimeLine:
    """One timed plan: where it leads, how long, what it came to."""

    href: str
    which: str
    time: str
    worth: str


@dataclass(frozen=True, slots=True)
class TimesShown:
    """What ``pages/progress/times.html`` needs: sentences, then single plans.

    ``exactly``: the means with their tenths, where the sentences have them plainly for the member.
    """

    sentences: tuple[str, ...]
    exactly: tuple[str, ...]
    lines: tuple[TimeLine, ...]


def show_times(
    viewer: Membership, found: InspectionTimes, today: date, *, own: bool
) -> TimesShown | None:
    """Lay out inspection times; None where no plan is timed."""
    if not found.latest:
        return None
    exactly = _means(found, plainly=False)
    said = _means(found, plainly=True) if own else list(exactly)
    beside = [
        (found.over, _("over 15 s: {number}")),
        (found.late, _("late: {number}")),
        (found.second_look, _("with a second look: {number}")),
    ]
    noted = [words.format(number=number) for number, words in beside if number]
    if noted:
        said.append(_("Noted beside plans: {notes}.").format(notes=", ".join(noted)))
    return TimesShown(
        sentences=tuple(said),
        exactly=tuple(exactly) if own else (),
        lines=tuple(_line(viewer, one, today, own) for one in found.latest),
    )


def _means(found: InspectionTimes, *, plainly: bool) -> list[str]:
    """Plans in time and the others, each with what it came to."""
    said = []
    if found.mean is not None:
        said.append(
            _("Timed: {plans}, {time} on average. {worth}").format(
                plans=count(found.in_time.plans, "plan"),
                time=about_seconds(found.mean) if plainly else seconds(found.mean),
                worth=_worth(found.in_time, plainly=plainly),
            )
        )
    if found.others.plans:
        said.append(
            _("Not timed, or not in time: {plans}. {worth}").format(
                plans=count(found.others.plans, "plan"),
                worth=_worth(found.others, plainly=plainly),
            )
        )
    return said


def _worth(plans: PlansTogether, *, plainly: bool) -> str:
    if plans.mean is None:
        return _("None of them is solved.")
    moves = about(plans.mean, "move") if plainly else f"{plans.mean:.1f}"
    return _("For each that is solved: {moves} over the best.").format(moves=moves)


def _line(viewer: Membership, one: TimedPlan, today: date, own: bool) -> TimeLine:
    slug = viewer.club.slug
    href = reverse("scramble", args=[slug, one.set_id, one.number])
    if not own:
        href = reverse("coach_plan", args=[slug, one.plan_id])
    worth = _("not solved")
    if one.excess is not None:
        worth = _("best") if one.excess == 0 else f"+{one.excess}"
    return TimeLine(
        href=href,
        which=_("{day}, scramble {number}").format(day=say_date(one.day, today), number=one.number),
        time=inspection_words(one.inspection),
        worth=worth,
    )
