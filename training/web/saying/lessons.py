"""What may be said of the time since a lesson: never more than the numbers beside it bear."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.utils.translation import gettext as _

from training.headings import name_of
from training.lesson_effect import BeforeAfter, LessonChange, LessonSaid
from training.selectors.given_lessons import GivenLesson
from training.selectors.lesson_changes import LessonLooked
from training.selectors.reviews import TECHNIQUES
from training.statistics import Tally
from training.web.saying.counting import count, listed
from training.web.saying.rates import answered_of_called, of
from training.web.saying.times import say_date


def change_said(change: LessonChange | LessonSaid, code: str) -> str:
    """What may be said since a lesson, and the limits that it rests on.

    >>> change_said(LessonSaid.TOO_EARLY, "base_turn")
    'too early to tell'
    """
    idea = code in TECHNIQUES
    if change is LessonSaid.TOO_EARLY:
        return _("too early to tell")
    if change is LessonSaid.CANNOT_BE_TOLD:
        if idea:
            return _("cannot be told: too little of other ideas, not taught, to compare with")
        return _("cannot be told: too few members who were not taught, to compare with")
    assert isinstance(change, LessonChange)
    if change.said is LessonSaid.BETTER:
        said = (
            _("likely better since the lesson: against ideas not taught, {low} to {high} in 100")
            if idea
            else _("likely better since the lesson: against others, {low} to {high} in 100")
        )
    else:
        said = (
            _("too early to tell: against ideas not taught, {low} to {high} in 100")
            if idea
            else _("too early to tell: against members not taught, {low} to {high} in 100")
        )
    return said.format(
        low=signed(100 * change.difference.low), high=signed(100 * change.difference.high)
    )


def signed(number: float) -> str:
    """A whole number with its sign, told apart from 0 where it is not 0.

    >>> signed(12.4), signed(-3), signed(0.2), signed(-0.2), signed(0)
    ('+12', '−3', 'over 0', 'under 0', '0')
    """
    rounded = round(abs(number))
    if number and not rounded:
        return _("over 0") if number > 0 else _("under 0")
    return f"{'−' if number < 0 else '+' if number else ''}{rounded}"


def told(tally: Tally, code: str) -> str:
    """Of an idea how often it was answered; of a habit how many plans have it.

    >>> told(Tally(3, 5), "base_turn"), told(Tally(3, 5), "mirrored"), told(Tally(0, 0), "mirrored")
    ('3 of 5', '2 of 5', 'none yet')
    """
    if code in TECHNIQUES or not tally.called:
        return answered_of_called(tally)
    return of(tally.called - tally.answered, tally.called)


def homework_said(looked: LessonLooked, code: str) -> str:
    """Who did the homework beside who did not, never as proof; empty where there was none."""
    did, did_not = looked.did, looked.did_not
    if did is None or did_not is None:
        return ""
    if not looked.handed_in:
        return _("Nobody handed in for it.")
    if not did.members or not did_not.members:
        return _("{members} handed in for it. There is nobody to set beside them yet.").format(
            members=count(looked.handed_in, "member")
        )
    return _(
        "Who handed in for it: {did}. Who did not: {did_not}. That proves nothing: who does "
        "homework may get better anyway."
    ).format(did=_of_some(did, code), did_not=_of_some(did_not, code))


def _of_some(some: BeforeAfter, code: str) -> str:
    return _("{members}, {before} before and {after} since").format(
        members=count(some.members, "member"),
        before=told(some.before, code),
        after=told(some.after, code),
    )


def sharing_said(others: Sequence[GivenLesson], today: date) -> str:
    """Other lessons to which a change may be due as well; empty where there is none."""
    if not others:
        return ""
    names = [
        _("{what} ({when})").format(what=name_of(one.code), when=say_date(one.day, today))
        for one in others
    ]
    if len(names) == 1:
        said = _("In the same weeks: {lessons}. A change may be due to either.")
    else:
        said = _("In the same weeks: {lessons}. A change may be due to any of them.")
    return said.format(lessons=listed(names))
