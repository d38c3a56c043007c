"""A day on which all plans are in: its total, the one plan to look at again, practice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.models import Drawn, Kind, Membership
from training.own_level import DaySum, level_before
from training.rules import CAP
from training.selectors.plans import ScrambleView, SetView, State
from training.web.navigation import Link
from training.web.saying.counting import count
from training.web.saying.levels import level_lines, total_words

_COUNTS_MOST = {State.NOT_SOLVED, State.WITHDRAWN}


@dataclass(frozen=True, slots=True)
class FinishedShown:
    """What ``pages/today/finished.html`` needs.

    ``total``: the day's, or why it is not there yet; ``level``: the own weeks before. ``again``:
    the plan to look at again, None where none lost anything that may be told.
    """

    total: str
    level: tuple[str, ...]
    again: Link | None


def show_finished(
    viewer: Membership, open_sets: Sequence[SetView], days: Sequence[DaySum], now: datetime
) -> FinishedShown | None:
    """Lay out the finished day; None while a cross of it is to be planned, and without a set.

    The day is its random sets; homework or a challenge that stays open for days is told of as
    waiting. Where there is no such set, it is all that is open.
    """
    sets = [one for one in open_sets if _is_of_the_day(one)] or list(open_sets)
    planned = [
        (view, one)
        for view in sets
        for one in view.scrambles
        if one.plan is not None and not one.void
    ]
    if not planned or any(one.to_plan for one in sets):
        return None
    of_day = [one for view, one in planned if _is_of_the_day(view)]
    points = [_points(one) for one in of_day]
    known = [one for one in points if one is not None]
    today = clock.local_date(now, viewer.club.zone)
    level: tuple[str, ...] = ()
    if of_day and len(known) == len(points):
        level = level_lines(level_before(days, today, len(points)), today)
    return FinishedShown(
        total=_total(of_day, known),
        level=level,
        again=_again(viewer, planned, today),
    )


def _is_of_the_day(view: SetView) -> bool:
    """Whether a set enters the table of its day."""
    head = view.head
    random = head.drawn == Drawn.AS_DRAWN and head.kind != Kind.CHALLENGE
    return random and not head.of_member and not head.taken_out


def _points(one: ScrambleView) -> int | None:
    """What the table counts for a cross; None where the member may not know it yet."""
    return CAP if _is_out_of_time(one) else _worth(one)


def _worth(one: ScrambleView) -> int | None:
    """The same by what the plan is worth, whenever it came."""
    if one.state in _COUNTS_MOST:
        return CAP
    report = one.plan.report if one.plan is not None else None
    if one.state != State.CHECKED or report is None or report.excess is None:
        return None
    return min(report.excess, CAP)


def _is_out_of_time(one: ScrambleView) -> bool:
    plan = one.plan
    return (
        one.state == State.CHECKED and plan is not None and plan.out_of_time and bool(plan.report)
    )


def _total(of_day: Sequence[ScrambleView], known: Sequence[int]) -> str:
    if not of_day:
        return ""
    if len(known) == len(of_day):
        said = _("Your plans: {total}.").format(total=total_words(sum(known), len(known)))
        unsolved = sum(one.state in _COUNTS_MOST for one in of_day)
        late = sum(_is_out_of_time(one) for one in of_day)
        if unsolved:
            said = _("{total} Not solved: {number}, each counts 8.").format(
                total=said, number=unsolved
            )
        if late:
            said = _("{total} Out of time: {number}, each counts 8.").format(
                total=said, number=late
            )
        return said
    checking = sum(one.state in {State.WAITING, State.FAILED} for one in of_day)
    if checking:
        return _("The total stands here once all is checked: {plans} to go.").format(
            plans=count(checking, "plan")
        )
    return _("The total stands here once the answers are open to you.")


def _again(
    viewer: Membership, planned: Sequence[tuple[SetView, ScrambleView]], today: date
) -> Link | None:
    """The plan that lost most, the first of equals."""
    told = [(lost, view, one) for view, one in planned if (lost := _worth(one))]
    told = [each for each in told if each[2].state != State.WITHDRAWN]
    if not told:
        return None
    _lost, view, one = max(told, key=lambda each: each[0])
    if one.state == State.NOT_SOLVED:
        said = _("Look again at scramble {number}: it is not solved yet.")
    else:
        said = _("Look again at scramble {number}: no other plan here lost more.")
    href = reverse("scramble", args=[viewer.club.slug, view.head.id, one.number])
    several = len({each.head.id for each, _one in planned}) > 1
    text = said.format(number=one.number)
    if several:
        text = _("{set}: {said}").format(set=view.head.title, said=text)
    return Link(text, href, False)
