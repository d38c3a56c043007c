"""In which state a weekly challenge is, at any instant. Pure: stored instants in, a state out.

announced → open → being checked → questions → confirmed → posted. Nothing is
moved from one to the next by a clock's round: a machine that was off through all
of it finds the same state at the same instant.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum


class Stage(StrEnum):
    """The states, in their order; ``out``: a correction lets the whole set count for nobody."""

    NOT_YET = "not_yet"
    ANNOUNCED = "announced"
    OPEN = "open"
    CHECKING = "checking"
    QUESTIONS = "questions"
    CONFIRMED = "confirmed"
    POSTED = "posted"
    OUT = "out"


STAGES = (
    Stage.ANNOUNCED,
    Stage.OPEN,
    Stage.CHECKING,
    Stage.QUESTIONS,
    Stage.CONFIRMED,
    Stage.POSTED,
)
"""Through which a challenge goes, in this order."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question: when it was asked, and when answered, if it is."""

    at: datetime
    answered_at: datetime | None = None

    def is_open(self, now: datetime) -> bool:
        return self.at <= now and (self.answered_at is None or now < self.answered_at)


@dataclass(frozen=True, slots=True)
class Course:
    """All that decides in which state a challenge is.

    ``checked_at``: when the last of its plans had its verdict, or a coach had decided on one
    that could not be checked; None while some wait. ``asked``: the questions about it.
    ``confirmed_at``: of the first confirmation, once it is noted.
    """

    announced_at: datetime
    opens_at: datetime
    closes_at: datetime
    question_time: timedelta
    checked_at: datetime | None = None
    asked: tuple[Asked, ...] = ()
    confirmed_at: datetime | None = None
    posted_at: datetime | None = None
    taken_out: bool = False


@dataclass(frozen=True, slots=True)
class Reached:
    """The state at an instant.

    ``since``: from when on; ``until``: when the next one comes by itself, None where
    that depends on somebody. ``open_questions``: how many wait for an answer.
    ``confirmed_at``: since when the result stands, None while it does not.
    """

    stage: Stage
    since: datetime
    until: datetime | None
    open_questions: int
    questions_until: datetime | None = None
    confirmed_at: datetime | None = None


def checked_at(
    closes_at: datetime, waits: bool, decided: Iterable[datetime | None]
) -> datetime | None:
    """When every plan of a set was decided on: the last verdict or decision, not before it closed.

    ``waits``: whether a plan still has neither; ``decided``: the instants of all.
    """
    if waits:
        return None
    return max([closes_at, *(one for one in decided if one is not None)])


def ends_by_itself(course: Course) -> datetime | None:
    """When the result stands without anybody's doing: the end of the time for questions.

    Later, when one that was asked in time was still open: at its answer. None
    while that is not known yet.
    """
    if course.checked_at is None:
        return None
    end = course.checked_at + course.question_time
    for one in sorted(course.asked, key=lambda each: each.at):
        if one.at >= end:
            break
        if one.answered_at is None:
            return None
        end = max(end, one.answered_at)
    return end


def reached(course: Course, now: datetime) -> Reached:
    """In which state a challenge is at ``now``, from what had happened by then.

    >>> from datetime import UTC
    >>> noon = datetime(2026, 11, 21, 12, tzinfo=UTC)
    >>> day = timedelta(days=1)
    >>> course = Course(noon - 3 * day, noon - 2 * day, noon, 2 * day, checked_at=noon + day)
    >>> [reached(course, noon + n * day).stage.value for n in (-3, -2, 0, 1, 3)]
    ['announced', 'open', 'checking', 'questions', 'confirmed']
    """
    waiting = sum(one.is_open(now) for one in course.asked)
    if course.taken_out:
        return Reached(Stage.OUT, course.announced_at, None, waiting)
    for begins, ends, stage in (
        (None, course.announced_at, Stage.NOT_YET),
        (course.announced_at, course.opens_at, Stage.ANNOUNCED),
        (course.opens_at, course.closes_at, Stage.OPEN),
    ):
        if now < ends:
            return Reached(stage, begins or course.announced_at, ends, waiting)
    known = course.checked_at
    if known is None or now < known:
        return Reached(Stage.CHECKING, course.closes_at, None, waiting)
    until = known + course.question_time
    confirmed = _confirmed_at(course, now)
    if confirmed is None:
        comes = until if waiting == 0 and now < until else None
        return Reached(Stage.QUESTIONS, known, comes, waiting, until)
    if course.posted_at is None or now < course.posted_at:
        return Reached(Stage.CONFIRMED, confirmed, None, waiting, until, confirmed)
    return Reached(Stage.POSTED, course.posted_at, None, waiting, until, confirmed)


def _confirmed_at(course: Course, now: datetime) -> datetime | None:
    """Since when the result stands at ``now``: as it is noted, else by itself."""
    found = course.confirmed_at or ends_by_itself(course)
    return found if found is not None and found <= now else None
