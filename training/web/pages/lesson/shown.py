"""A lesson laid out: the evidence, crosses of the group's own to step through, homework given."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from django.utils.translation import gettext as _

from solverworker.cube.cross import STATE_COUNT
from training import clock
from training.models import Membership
from training.selectors.group_reviews import GroupLine, GroupReview
from training.selectors.lessons import Homework, Lesson
from training.selectors.set_heads import SetHead
from training.web.pages.lesson.addresses import addresses
from training.web.pages.lesson.cross_shown import CrossShown, SteppedTo, show_cross
from training.web.pages.lesson.looked_shown import LookedShown, compared_words, show_looked
from training.web.parts.rate import RateShown, show_rate
from training.web.saying.counting import count
from training.web.saying.ideas import idea_meaning, idea_name
from training.web.saying.needs import need_words, strong_words
from training.web.saying.rates import answered_of_called, share_of_moves
from training.web.saying.sets import set_of_day
from training.web.saying.times import say, say_date


@dataclass(frozen=True, slots=True)
class HomeworkShown:
    """Homework already given. ``when`` until it has closed; ``to_come``: the number of a set that
    has not opened; ``looked``: what random sets say since, None until it has closed."""

    title: str
    to_come: int | None
    when: str
    own: str
    looked: LookedShown | None


@dataclass(frozen=True, slots=True)
class LessonShown:
    """What ``pages/lesson/lesson.html`` needs.

    ``here``: its address; ``group``: whose plans are the evidence, empty for everybody's, with
    ``everybody_href`` then. ``names``: whether members' names are shown; ``need``: who likely needs
    the idea, empty while nobody is known to, a sentence where ``all_learn``; ``strong``: of how
    many it is known that they do not; ``weeks``: over which moves were lost; ``compared``: how the
    weeks around a set are compared; ``matching``: how many crosses there are to draw from.
    """

    here: str
    names_href: str
    review_href: str
    everybody_href: str
    group: str
    idea: str
    meaning: str
    names: bool
    said: str
    need: str
    strong: str
    all_learn: bool
    rate: RateShown
    lost: str
    weeks: str
    crosses: tuple[CrossShown, ...]
    homework: tuple[HomeworkShown, ...]
    compared: str
    matching: str


def show_lesson(
    viewer: Membership,
    found: Lesson,
    review: GroupReview,
    now: datetime,
    *,
    names: bool,
    at: SteppedTo,
    matching: int | None,
) -> LessonShown:
    """Lay out a lesson; without ``names`` it can be shown to the group."""
    line = next(one for one in review.techniques if one.code == found.code)
    today = clock.local_date(now, viewer.club.zone)
    return LessonShown(
        **addresses(viewer, found.code, review.group),
        idea=idea_name(found.code),
        meaning=idea_meaning(found.code),
        names=names,
        said=_called_words(line, say_date(review.looked, today)),
        need=_need(line, review, names),
        strong=strong_words(len(line.strong), len(review.members)),
        all_learn=line.group_lacks,
        rate=show_rate(line.tally, line.interval, review.target),
        lost=share_of_moves(line.lost) if line.lost else "",
        weeks=count(review.weeks, "week"),
        crosses=tuple(
            show_cross(
                viewer,
                one,
                number,
                set_of_day(one.head, today),
                names,
                at if at.cross == number else replace(at, cross=number, plan=0, step=0),
            )
            for number, one in enumerate(found.scrambles, start=1)
        ),
        homework=tuple(_homework(one, found.code, viewer, now) for one in found.homework),
        compared=compared_words(found.code),
        matching=matching_words(matching),
    )


def matching_words(matching: int | None) -> str:
    """How many crosses there are to choose from.

    >>> matching_words(47176), matching_words(0)
    ('47,176 of the 190,080 crosses match.', 'No cross of these lengths calls for it.')
    """
    if matching is None:
        return _("A worker draws the crosses.")
    if not matching:
        return _("No cross of these lengths calls for it.")
    return _("{matching} of the {all} crosses match.").format(
        matching=f"{matching:,}", all=f"{STATE_COUNT:,}"
    )


def _called_words(line: GroupLine, day: str) -> str:
    if not line.tally.called:
        return _("It was not called for in the eight weeks up to {day}.").format(day=day)
    return _("Called for {times} in the eight weeks up to {day}, answered {answered}.").format(
        times=count(line.tally.called, "time"),
        day=day,
        answered=count(line.tally.answered, "time"),
    )


def _need(line: GroupLine, review: GroupReview, names: bool) -> str:
    who = line.lacking
    if who and not names:
        who = (count(len(who), "member"),)
    return need_words(who, line.group_lacks, review.target)


def _title(head: SetHead) -> str:
    if not head.of_member:
        return head.title
    return _("{set}, for one member").format(set=head.title)


def _homework(one: Homework, code: str, viewer: Membership, now: datetime) -> HomeworkShown:
    head, zone = one.head, viewer.club.zone
    if head.is_open:
        when = _("open until {time}").format(time=say(head.closes_at, now, zone).bare.text)
    else:
        when = _("opens {time}").format(time=say(head.opens_at, now, zone).text)
    today = clock.local_date(now, zone)
    return HomeworkShown(
        title=_title(head),
        to_come=head.id if now < head.opens_at else None,
        when="" if head.has_closed else when,
        own=answered_of_called(one.own),
        looked=show_looked(one.looked, code, one.sharing, today)
        if one.looked is not None and head.has_closed
        else None,
    )
