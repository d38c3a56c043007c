"""A lesson laid out: the evidence, crosses of the group's own to step through, homework given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from solverworker.cube.cross import STATE_COUNT
from solverworker.cube.net import net_steps
from training import clock
from training.models import Membership
from training.selectors.group_reviews import GroupLine, GroupReview
from training.selectors.lesson_crosses import CostlyScramble, ShownPlan, ShownWay, Shows
from training.selectors.lessons import Homework, Lesson
from training.selectors.set_heads import SetHead
from training.web.pages.lesson.looked_shown import LookedShown, compared_words, show_looked
from training.web.parts.rate import RateShown, show_rate
from training.web.parts.score_sheet import ScoreSheet, score_sheet
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.pictures.net import Net, draw_net, net_code
from training.web.pictures.staircase import staircase
from training.web.pictures.stairs import Staircase
from training.web.saying.counting import count, listed
from training.web.saying.ideas import idea_meaning, idea_name
from training.web.saying.needs import need_words, strong_words
from training.web.saying.rates import answered_of_called, share_of_moves
from training.web.saying.steps import say_after
from training.web.saying.stories import story
from training.web.saying.times import say, say_date

_SHOWS = {
    Shows.ANSWERED: gettext_lazy("{plan}: answered it"),
    Shows.USED: gettext_lazy("{plan}: used it"),
    Shows.WITHOUT: gettext_lazy("{plan}: did without"),
}


@dataclass(frozen=True, slots=True)
class SteppedTo:
    """Where the cube of one cross stands: which cross (from 1), which plan (from 0), which step."""

    cross: int
    plan: int
    step: int


@dataclass(frozen=True, slots=True)
class PlanShown:
    """One plan of a cross to step through. ``member`` and ``href`` are empty while hidden."""

    way: int
    heading: str
    model: bool
    member: str
    href: str
    rule: EightRule
    stairs: Staircase
    nets: str


@dataclass(frozen=True, slots=True)
class WayShown:
    """A shortest way with the idea, told where no plan of the group is a model: a text a turn.

    ``after``: the moves before it, of the plan shown beside it; empty from the start.
    """

    heading: str
    moves: str
    story: tuple[SafeString, ...]


@dataclass(frozen=True, slots=True)
class CrossShown:
    """A cross of the group's own on which the idea cost much. ``way``: in place of models."""

    number: int
    anchor: str
    title: str
    sheet: ScoreSheet
    plans: tuple[PlanShown, ...]
    way: WayShown | None
    net: Net
    said: str


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

    ``names``: whether members' names are shown; ``need``: who likely needs the idea, empty while
    nobody is known to, a sentence where ``all_learn``; ``strong``: of how many it is known that
    they do not; ``weeks``: over which moves were lost; ``compared``: how the weeks around a set
    are compared; ``matching``: how many crosses there are to draw from.
    """

    here: str
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
        here=reverse("lesson", args=[viewer.club.slug, found.code]),
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
            _cross(
                viewer,
                one,
                number,
                say_date(one.head.day, today),
                names,
                at if at.cross == number else SteppedTo(number, 0, 0),
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


def _cross(
    viewer: Membership, one: CostlyScramble, number: int, day: str, names: bool, at: SteppedTo
) -> CrossShown:
    way = min(at.plan, max(len(one.plans) - 1, 0))
    nets = [net_steps(one.text, plan.canonical) for plan in one.plans]
    step = min(at.step, len(nets[way]) - 1) if nets else 0
    start = nets[way][step] if nets else net_steps(one.text, "")[0]
    anchor = f"cross-{number}"
    return CrossShown(
        number=number,
        anchor=anchor,
        title=_("{day}, scramble {number}: best {best}, {moves} lost to the idea").format(
            day=day, number=one.number, best=one.best, moves=share_of_moves(one.lost)
        ),
        sheet=score_sheet(one.text),
        plans=tuple(
            _plan(
                viewer,
                plan,
                at=SteppedTo(number, index, step if index == way else -1),
                nets=" ".join(net_code(faces) for faces in nets[index]),
                names=names,
            )
            for index, plan in enumerate(one.plans)
        ),
        way=_way(one.text, one.way) if one.way else None,
        net=draw_net(start),
        said=_said(one.plans, way, step),
    )


def _said(plans: Sequence[ShownPlan], way: int, step: int) -> str:
    if not plans:
        return ""
    report = plans[way].report
    if not step:
        return say_after("", report.distance_start)
    row = report.ledger[step - 1]
    return say_after(row.token, row.distance)


def _plan(
    viewer: Membership, plan: ShownPlan, *, at: SteppedTo, nets: str, names: bool
) -> PlanShown:
    report = plan.report
    if names:
        name = _("{member}’s plan").format(member=plan.member)
        shown_as = name
    else:
        name = _("Cross {cross}, plan {number}").format(cross=at.cross, number=at.plan + 1)
        shown_as = _("Plan {number}").format(number=at.plan + 1)
    query = "names=1&" if names else ""
    return PlanShown(
        way=at.plan,
        heading=str(_SHOWS[plan.shows]).format(plan=shown_as),
        model=plan.shows is not Shows.WITHOUT,
        member=plan.member if names else "",
        href=reverse("coach_plan", args=[viewer.club.slug, plan.plan_id]) if names else "",
        rule=eight_rule(report.best, report.moves),
        stairs=staircase(
            report.ledger,
            report.distance_start,
            shortest=report.best,
            name=name,
            href=f"?{query}cross={at.cross}&plan={at.plan}&step=",
            anchor=f"#cross-{at.cross}",
            here=at.step,
        ),
        nets=nets,
    )


def _way(scramble: str, found: ShownWay) -> WayShown:
    """A way in the words of the cube, after the moves that come before it."""
    if found.after:
        heading = _("A shortest way on, after {moves}").format(moves=found.after)
    else:
        heading = _("A shortest way: no exact plan of the group has the idea")
    return WayShown(
        heading=heading,
        moves=found.way.text,
        story=story(scramble, found.way, after=found.after),
    )


def _title(head: SetHead) -> str:
    """What a given set is called, with for whom it is if not for everybody."""
    if head.of_member:
        return _("{set}, for one member").format(set=head.title)
    if head.groups:
        return _("{set}, for {groups}").format(set=head.title, groups=listed(head.groups))
    return head.title


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
