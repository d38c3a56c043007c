"""A cross of the group's own in a lesson, laid out to be stepped through."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from solverworker.cube.net import net_steps
from training.models import Membership
from training.selectors.lesson_crosses import CostlyScramble, ShownPlan, ShownWay, Shows
from training.web.parts.drawn import Track, draw_cross, track
from training.web.parts.score_sheet import ScoreSheet, score_sheet
from training.web.parts.stepper import Steering, Stepped
from training.web.parts.ways import StoryLine, lines_of
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.pictures.net import draw_net, net_code
from training.web.pictures.staircase import staircase
from training.web.pictures.stairs import Staircase
from training.web.saying.rates import share_of_moves
from training.web.saying.steps import say_after, say_step
from training.web.saying.stories import story

_SHOWS = {
    Shows.ANSWERED: gettext_lazy("{plan}: answered it"),
    Shows.USED: gettext_lazy("{plan}: used it"),
    Shows.WITHOUT: gettext_lazy("{plan}: did without"),
}


@dataclass(frozen=True, slots=True)
class SteppedTo:
    """Where the cube of one cross stands: which cross (from 1), which plan (from 0), which step.

    ``kept``: what the query of every step has beside that, with an ampersand behind it.
    """

    cross: int
    plan: int
    step: int
    kept: str = ""


@dataclass(frozen=True, slots=True)
class PlanShown:
    """One plan of a cross to step through. ``member`` and ``href`` are empty while hidden."""

    number: int
    heading: str
    model: bool
    member: str
    href: str
    rule: EightRule
    stairs: Staircase
    track: Track
    nets: str


@dataclass(frozen=True, slots=True)
class WayShown:
    """A shortest way with the idea, told where no plan of the group is a model: a text a turn.

    ``after``: the moves before it, of the plan shown beside it; empty from the start.
    """

    heading: str
    moves: str
    story: tuple[StoryLine, ...]


@dataclass(frozen=True, slots=True)
class CrossShown:
    """A cross of the group's own on which the idea cost much. ``way``: in place of models."""

    number: int
    anchor: str
    title: str
    sheet: ScoreSheet
    plans: tuple[PlanShown, ...]
    way: WayShown | None
    stepped: Stepped


def show_cross(
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
                one.text,
                at=replace(at, cross=number, plan=index, step=step if index == way else -1),
                nets=" ".join(net_code(faces) for faces in nets[index]),
                names=names,
            )
            for index, plan in enumerate(one.plans)
        ),
        way=_way(one.text, one.way) if one.way else None,
        stepped=Stepped(
            drawn=draw_cross(
                one.text,
                one.plans[way].report.canonical if one.plans else "",
                colour=_colour(one, way),
                step=step,
                name=anchor,
                moving=bool(one.plans),
            ),
            net=draw_net(start),
            said=_said(one.plans, way, step),
            sentence=SafeString(_did(one.plans, way, step)),
            steering=_steering(one, number, way, step, at.kept),
        ),
    )


def _colour(one: CostlyScramble, way: int) -> str:
    if one.plans:
        return one.plans[way].report.colour
    return one.way.way.colour if one.way else "white"


def _steering(one: CostlyScramble, number: int, way: int, step: int, kept: str) -> Steering | None:
    """Where the cube of a cross can be stepped to; None where no plan is shown."""
    if not one.plans:
        return None
    last = len(one.plans[way].report.ledger)

    def href(to: int) -> str:
        if not 0 <= to <= last:
            return ""
        return f"?{kept}cross={number}&plan={way}&step={to}#cross-{number}"

    return Steering(way=way, step=step, back=href(step - 1), on=href(step + 1))


def _did(plans: Sequence[ShownPlan], way: int, step: int) -> str:
    return say_step(plans[way].report.ledger[step - 1]) if plans and step else ""


def _said(plans: Sequence[ShownPlan], way: int, step: int) -> str:
    if not plans:
        return ""
    report = plans[way].report
    if not step:
        return say_after("", report.distance_start)
    row = report.ledger[step - 1]
    return say_after(row.token, row.distance)


def _plan(
    viewer: Membership,
    plan: ShownPlan,
    scramble: str,
    *,
    at: SteppedTo,
    nets: str,
    names: bool,
) -> PlanShown:
    report = plan.report
    if names:
        name = _("{member}’s plan").format(member=plan.member)
        shown_as = name
    else:
        name = _("Cross {cross}, plan {number}").format(cross=at.cross, number=at.plan + 1)
        shown_as = _("Plan {number}").format(number=at.plan + 1)
    return PlanShown(
        number=at.plan,
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
            href=f"?{at.kept}cross={at.cross}&plan={at.plan}&step=",
            anchor=f"#cross-{at.cross}",
            here=at.step,
        ),
        track=track(scramble, report.canonical, report.colour),
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
        story=lines_of(found.way.text, story(scramble, found.way, after=found.after), here=-1),
    )
