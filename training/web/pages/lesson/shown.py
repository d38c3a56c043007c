"""A lesson laid out: the evidence, crosses of the group's own to step through, homework given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from solverworker.cube.cross import STATE_COUNT
from solverworker.cube.net import net_steps
from training import clock
from training.lesson_effect import LessonChange, LessonSaid
from training.models import Membership
from training.selectors.group_reviews import GroupLine, GroupReview
from training.selectors.lessons import CostlyScramble, Homework, Lesson, ShownPlan
from training.web.parts.rate import RateShown, show_rate
from training.web.parts.score_sheet import ScoreSheet, score_sheet
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.pictures.net import Net, draw_net, net_code
from training.web.pictures.staircase import staircase
from training.web.pictures.stairs import Staircase
from training.web.saying.counting import count
from training.web.saying.ideas import idea_meaning, idea_name
from training.web.saying.needs import need_words
from training.web.saying.rates import share_of_moves
from training.web.saying.steps import say_after
from training.web.saying.times import say, say_date


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
    answered: bool
    member: str
    href: str
    rule: EightRule
    stairs: Staircase
    nets: str


@dataclass(frozen=True, slots=True)
class CrossShown:
    """A cross of the group's own on which the idea cost much."""

    number: int
    anchor: str
    title: str
    sheet: ScoreSheet
    plans: tuple[PlanShown, ...]
    net: Net
    said: str


@dataclass(frozen=True, slots=True)
class HomeworkShown:
    """Homework already given, and the as-drawn rates around it. ``when`` until it has closed;
    ``to_come``: the number of a set that has not opened."""

    title: str
    to_come: int | None
    when: str
    own: RateShown
    before: RateShown
    after: RateShown
    change: str


@dataclass(frozen=True, slots=True)
class LessonShown:
    """What ``pages/lesson/lesson.html`` needs.

    ``names``: whether members' names are shown; ``need``: who likely needs the idea, empty while
    there is too little evidence, a sentence where ``all_learn``; ``weeks``: over which moves were
    lost; ``span``: over how long the rates before and after a set go;
    ``matching``: how many crosses there are to draw from.
    """

    here: str
    idea: str
    meaning: str
    names: bool
    said: str
    need: str
    all_learn: bool
    rate: RateShown
    lost: str
    weeks: str
    crosses: tuple[CrossShown, ...]
    homework: tuple[HomeworkShown, ...]
    span: str
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
        said=_("Called for {times} in the eight weeks up to {day}, answered {answered}.").format(
            times=count(line.tally.called, "time"),
            day=say_date(review.looked, today),
            answered=count(line.tally.answered, "time"),
        ),
        need=_need(line, review, names),
        all_learn=line.group_lacks,
        rate=show_rate(line.tally, line.interval, review.target),
        lost=share_of_moves(line.lost),
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
        homework=tuple(_homework(one, viewer, now) for one in found.homework),
        span=count(review.weeks, "week"),
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
    said = _("{plan}: answered it") if plan.answered else _("{plan}: did without")
    query = "names=1&" if names else ""
    return PlanShown(
        way=at.plan,
        heading=said.format(plan=shown_as),
        answered=plan.answered,
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


def _homework(one: Homework, viewer: Membership, now: datetime) -> HomeworkShown:
    head, zone = one.head, viewer.club.zone
    if head.is_open:
        when = _("open until {time}").format(time=say(head.closes_at, now, zone).bare.text)
    else:
        when = _("opens {time}").format(time=say(head.opens_at, now, zone).text)
    return HomeworkShown(
        title=head.title,
        to_come=head.id if now < head.opens_at else None,
        when="" if head.has_closed else when,
        own=show_rate(one.own.tally, one.own.interval),
        before=show_rate(one.before.tally, one.before.interval),
        after=show_rate(one.after.tally, one.after.interval),
        change=_change(one.change),
    )


_SAID = {
    LessonSaid.BETTER: gettext_lazy("likely better since the lesson"),
    LessonSaid.TOO_EARLY: gettext_lazy("too early to tell"),
    LessonSaid.CANNOT_BE_TOLD: gettext_lazy("cannot be told: no other idea to compare with"),
}


def _change(change: LessonChange | LessonSaid) -> str:
    return str(_SAID[change if isinstance(change, LessonSaid) else change.said])
