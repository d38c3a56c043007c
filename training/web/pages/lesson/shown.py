"""A lesson laid out: the evidence, crosses of the group's own to step through, homework given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from solverworker.cube.net import net_steps
from training.models import Membership
from training.selectors.group_reviews import GroupLine, GroupReview
from training.selectors.lessons import CostlyScramble, Homework, Lesson, ShownPlan
from training.web.parts.rate import RateShown, show_rate
from training.web.parts.score_sheet import score_sheet
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.pictures.net import Net, draw_net, net_code
from training.web.pictures.staircase import staircase
from training.web.pictures.stairs import Staircase
from training.web.saying.counting import count
from training.web.saying.needs import need_words
from training.web.saying.rates import share_of_moves
from training.web.saying.steps import say_after
from training.web.saying.times import say, say_date


@dataclass(frozen=True, slots=True)
class Place:
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
    where: str
    cost: str
    best: str
    sheet: tuple[tuple[str, ...], ...]
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


@dataclass(frozen=True, slots=True)
class LessonShown:
    """What ``pages/lesson.html`` needs."""

    said: str
    need: str
    rate: RateShown
    lost: str
    crosses: tuple[CrossShown, ...]
    homework: tuple[HomeworkShown, ...]


def show_lesson(
    viewer: Membership,
    found: Lesson,
    review: GroupReview,
    now: datetime,
    *,
    names: bool,
    place: Place,
) -> LessonShown:
    """Lay out a lesson; without ``names`` it can be shown to the group."""
    line = next(one for one in review.techniques if one.code == found.code)
    today = now.astimezone(viewer.club.zone).date()
    return LessonShown(
        said=f"Called for {count(line.tally.called, 'time')} in the last "
        f"{review.weeks} weeks, answered {line.tally.answered}.",
        need=_need(line, review, names),
        rate=show_rate(line.tally, line.interval, review.target),
        lost=share_of_moves(line.lost),
        crosses=tuple(
            _cross(
                viewer,
                one,
                number,
                say_date(one.head.day, today),
                names,
                place if place.cross == number else Place(number, 0, 0),
            )
            for number, one in enumerate(found.scrambles, start=1)
        ),
        homework=tuple(_homework(one, viewer, now) for one in found.homework),
    )


def _need(line: GroupLine, review: GroupReview, names: bool) -> str:
    if names:
        return need_words(line.lacking, line.group_lacks, review.target)
    who = (f"{count(len(line.lacking), 'member')}",) if line.lacking else ()
    return need_words(who, line.group_lacks, review.target)


def _cross(
    viewer: Membership, one: CostlyScramble, number: int, day: str, names: bool, place: Place
) -> CrossShown:
    way = min(place.plan, max(len(one.plans) - 1, 0))
    nets = [net_steps(one.text, plan.canonical) for plan in one.plans]
    step = min(place.step, len(nets[way]) - 1) if nets else 0
    start = nets[way][step] if nets else net_steps(one.text, "")[0]
    anchor = f"cross-{number}"
    return CrossShown(
        number=number,
        anchor=anchor,
        where=f"{day}, scramble {one.number}",
        cost=share_of_moves(one.lost),
        best=f"best {one.best}",
        sheet=score_sheet(one.text),
        plans=tuple(
            _plan(
                viewer,
                plan,
                place=Place(number, index, step if index == way else -1),
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
    viewer: Membership, plan: ShownPlan, *, place: Place, nets: str, names: bool
) -> PlanShown:
    report = plan.report
    whose = f"{plan.member}’s plan" if names else f"Plan {place.plan + 1}"
    query = "names=1&" if names else ""
    return PlanShown(
        way=place.plan,
        heading=f"{whose}: {'answered it' if plan.answered else 'did without'}",
        answered=plan.answered,
        member=plan.member if names else "",
        href=reverse("coach_plan", args=[viewer.club.slug, plan.plan_id]) if names else "",
        rule=eight_rule(report.best, report.moves),
        stairs=staircase(
            report.ledger,
            report.distance_start,
            shortest=report.best,
            name=f"Cross {place.cross}, {whose[0].lower()}{whose[1:]}" if not names else whose,
            href=f"?{query}cross={place.cross}&plan={place.plan}&step=",
            anchor=f"#cross-{place.cross}",
            here=place.step,
        ),
        nets=nets,
    )


def _homework(one: Homework, viewer: Membership, now: datetime) -> HomeworkShown:
    head, zone = one.head, viewer.club.zone
    when = f"open until {say(head.closes_at, now, zone).bare.text}"
    if not head.is_open:
        when = f"opens {say(head.opens_at, now, zone).text}"
    return HomeworkShown(
        title=head.title,
        to_come=head.id if now < head.opens_at else None,
        when="" if head.has_closed else when,
        own=show_rate(one.own.tally, one.own.interval),
        before=show_rate(one.before.tally, one.before.interval),
        after=show_rate(one.after.tally, one.after.interval),
    )
