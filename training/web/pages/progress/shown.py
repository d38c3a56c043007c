"""A member's review laid out: what to work on, where moves were lost, how the weeks went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from django.urls import reverse
from django.utils.translation import gettext as _

from solverworker.report import SLIPS
from training import clock, statistics
from training.account import Missing
from training.headings import heading
from training.inspection import Inspected
from training.models import Membership
from training.selectors.improvements import Improved
from training.selectors.review_examples import Example
from training.selectors.reviews import TECHNIQUES, WEEKS, MemberReview, TechniqueLine
from training.web.pages.progress.better import BetterShown, show_better
from training.web.pages.progress.beyond import BeyondShown, show_beyond
from training.web.pages.progress.charges import Charge, exact_points, show_charges
from training.web.pages.progress.reach import ReachShown, show_reach
from training.web.pages.progress.weeks import WeekShown, show_weeks, trend_words
from training.web.parts.rate import RateShown, show_rate
from training.web.saying.counting import count, listed
from training.web.saying.ideas import IdeaTold, idea_anchor, idea_meaning, idea_name, ideas_told
from training.web.saying.plainly import about, about_points
from training.web.saying.rates import group_words, points, points_words, share_of_moves
from training.web.saying.sets import scramble_of
from training.web.saying.times import say_date


@dataclass(frozen=True, slots=True)
class ExampleShown:
    """A plan of the member's to look at again."""

    href: str
    where: str
    moves: str
    lost: str


@dataclass(frozen=True, slots=True)
class IdeaToWorkOn:
    """One thing to work on with its evidence; ``exactly``: what a member reads a tap away."""

    name: str
    anchor: str
    meaning: str
    said: str
    exactly: str
    rate: RateShown
    lost: str
    examples: tuple[ExampleShown, ...]


@dataclass(frozen=True, slots=True)
class FirstThing:
    """What to look at first. ``says``: what it is; ``size``: what it cost; ``to_do``: one thing.

    ``meaning``: of an idea; empty for all else.
    """

    says: str
    meaning: str
    size: str
    to_do: str
    examples: tuple[ExampleShown, ...]


@dataclass(frozen=True, slots=True)
class ProgressShown:
    """What ``pages/progress/progress.html`` needs. ``own``: the reader is the member.

    ``practise``: whether practice is offered; what is missing has a question instead.
    ``again``: plans that lost most to ``again_idea``, where nothing stands out to work on.
    """

    own: bool
    homework_href: str
    plans_href: str
    title: str
    about: str
    headline: str
    lede: str
    first: FirstThing | None
    practise: bool
    style: str
    hold: str
    work_on: tuple[IdeaToWorkOn, ...]
    again_idea: str
    again_cost: str
    again: tuple[ExampleShown, ...]
    has_plans: bool
    reach: ReachShown
    charges: tuple[Charge, ...]
    charged: str
    charged_exactly: str
    looked: str
    has_picked: bool
    ideas: tuple[IdeaTold, ...]
    strong: str
    habits: tuple[str, ...]
    better: BetterShown | None
    beyond: BeyondShown | None
    weeks: tuple[WeekShown, ...]
    trend: str


def show_progress(
    found: MemberReview,
    better: Sequence[Improved],
    viewer: Membership,
    now: datetime,
    inspections: Sequence[Inspected] = (),
) -> ProgressShown:
    """Lay out a review for its member, or for a coach of the club."""
    own = found.membership.pk == viewer.pk
    today = clock.local_date(now, viewer.club.zone)
    examples = {
        code: tuple(_example(one, viewer, own, today) for one in shown)
        for code, shown in found.examples.items()
    }
    again = "" if found.to_work_on or found.first else _dearest(found)
    whose = _("{name}’s progress").format(name=found.membership.display_name)
    return ProgressShown(
        own=own,
        homework_href=""
        if own
        else reverse("homework", args=[viewer.club.slug, found.membership.pk]),
        plans_href=reverse("plans", args=[viewer.club.slug])
        if own
        else reverse("coach_member_plans", args=[viewer.club.slug, found.membership.pk]),
        title=_("My progress") if own else whose,
        about=_about(found),
        headline=_headline(found, own=own),
        lede=_lede(found),
        first=_first(
            found, own, tuple(_example(one, viewer, own, today) for one in found.first_plans)
        ),
        practise=own and found.first not in (Missing.NOT_HANDED_IN, Missing.WITHDRAWN),
        style=_style(found, own=own),
        hold=_hold(found),
        work_on=tuple(
            _work_on(one, examples.get(one.code, ()), own, say_date(found.looked, today))
            for one in found.to_work_on
            if one.code != found.first
        ),
        again_idea=idea_name(again) if again else "",
        again_cost=_points(found.account.of_heading(again), own=own) if again else "",
        again=examples.get(again, ()),
        has_plans=found.account.plans > 0,
        reach=show_reach(found.account, found.group, own=own),
        charges=show_charges(found, own=own),
        charged=_("{points} on {crosses}.").format(
            points=points_words(found.account.total), crosses=count(found.account.plans, "cross")
        ),
        charged_exactly=exact_points(found) if own else "",
        looked=say_date(found.looked, today),
        has_picked=any(one.picked.called for one in found.lines),
        ideas=ideas_told(TECHNIQUES),
        strong=_ideas(found.strong),
        habits=_habits(found),
        better=show_better(better, found.membership.pk, today, plainly=own),
        beyond=show_beyond(found, inspections, own=own),
        weeks=show_weeks(found.weeks, today, own=own),
        trend=trend_words(found.trend, [one.against_others for one in found.weeks], own=own),
    )


def _about(found: MemberReview) -> str:
    weeks = count(WEEKS, "week")
    if not found.account.plans:
        return _("Random sets that closed in the last {weeks}: none counts yet.").format(
            weeks=weeks
        )
    return _("Random sets that closed in the last {weeks}: {solved} of {crosses} solved.").format(
        weeks=weeks,
        solved=found.account.solved,
        crosses=count(found.account.plans, "cross"),
    )


def _ideas(lines: Sequence[TechniqueLine]) -> str:
    return listed([idea_name(one.code) for one in lines])


def _headline(found: MemberReview, *, own: bool) -> str:
    if found.first is not None:
        told = heading(found.first)
        return str(told.says) if own else _("First: {name}").format(name=told.name)
    if not found.account.plans:
        return _("Nothing to go by yet")
    return _("No single thing yet")


def _lede(found: MemberReview) -> str:
    """What stands under the headline where nothing is named first."""
    account = found.account
    if found.first is not None:
        return ""
    if not account.plans:
        return _("Once a set with plans has closed, this page tells what they show.")
    if not account.total:
        return _("Nothing was lost in {plans}.").format(plans=count(account.solved, "solved plan"))
    return _("No single thing costs enough to be named first, or there are too few plans to tell.")


def _first(found: MemberReview, own: bool, examples: tuple[ExampleShown, ...]) -> FirstThing | None:
    code = found.first
    if code is None:
        return None
    account, told = found.account, heading(code)
    charged = account.of_heading(code)
    cost = about_points(charged) if own else points(charged)
    if code in SLIPS:
        size = (
            _("{slips} of your {crosses} went wrong in this way. It cost {cost} of {all}.")
            if own
            else _("{slips} of {crosses} went wrong in this way. It cost {cost} of {all}.")
        )
        slips = account.unsolved[code]
    else:
        size, slips = _("It cost {cost} of {all}."), 0
    return FirstThing(
        says=str(told.says),
        meaning=idea_meaning(code) if code in TECHNIQUES else "",
        size=size.format(
            slips=slips,
            crosses=count(account.plans, "cross"),
            cost=cost,
            all=points_words(account.total),
        ),
        to_do=str(told.to_do),
        examples=examples,
    )


def _style(found: MemberReview, *, own: bool) -> str:
    """A style with a name, told beside the first heading."""
    if not found.account.edge_by_edge or found.account.solved < statistics.LEAST_CALLED:
        return ""
    if own:
        return _(
            "You set each edge straight onto its own centre: edge by edge. "
            "Placing edges beside each other first and turning the bottom once saves moves."
        )
    return _(
        "Most plans go edge by edge, each straight onto its own centre. "
        "The lesson on relative build shows what that costs."
    )


def _hold(found: MemberReview) -> str:
    """What "the bottom" is, for somebody who seldom ends with the cross there."""
    if 2 * found.ends_on_bottom >= found.solved:
        return ""
    return _("On this page “the bottom” is the side of the cross, wherever it is held.")


def _work_on(
    line: TechniqueLine, examples: tuple[ExampleShown, ...], own: bool, day: str
) -> IdeaToWorkOn:
    """``day``: up to when the rate counts; what was lost counts up to now."""
    rate = show_rate(line.tally, line.interval, plainly=own)
    return IdeaToWorkOn(
        name=idea_name(line.code),
        anchor=idea_anchor(line.code),
        meaning=idea_meaning(line.code),
        said=" ".join(
            filter(
                None,
                (
                    _(
                        "Up to {day}: called for in {plans}, answered in {answered}: {likely}."
                    ).format(
                        day=day,
                        plans=count(line.tally.called, "plan"),
                        answered=line.tally.answered,
                        likely=rate.plain or rate.likely,
                    ),
                    group_words(line, own=own),
                ),
            )
        ),
        exactly=_exactly(line, rate) if own else "",
        rate=rate,
        lost=about(line.lost, "move") if own else share_of_moves(line.lost),
        examples=examples,
    )


def _exactly(line: TechniqueLine, rate: RateShown) -> str:
    return _("{likely}; {moves} lost.").format(
        likely=rate.likely.capitalize(), moves=share_of_moves(line.lost)
    )


def _points(cost: Fraction | float, *, own: bool) -> str:
    return about(cost, "point") if own else points_words(cost)


def _dearest(found: MemberReview) -> str:
    """The technique that cost most of all headings; empty where another cost as much."""
    points = found.account.points
    dearest = max(points, key=lambda one: points[one], default="")
    alone = sum(cost == points[dearest] for cost in points.values()) == 1 if points else False
    return dearest if alone and dearest in TECHNIQUES else ""


def _habits(found: MemberReview) -> tuple[str, ...]:
    """How the cube is handled: noted beside the turns, never counted."""
    if found.solved < statistics.LEAST_CALLED:
        return ()
    plans = count(found.solved, "solved plan")
    bottom = _(
        "The cross ends on the bottom in {number} of {plans}. There the eyes are free "
        "for the first pair, and the cube need not be turned over."
    ).format(number=found.ends_on_bottom, plans=plans)
    late = _(
        "The whole cube is turned after the first move in {number} of {plans}. Turned "
        "before the first move, it costs nothing: that belongs to inspection."
    ).format(number=found.turns_cube_late, plans=plans)
    turns = _(
        "{back_turns} of the back and {half_turns} in {plans}. "
        "Neither is wrong; both are slow on most hands."
    ).format(
        back_turns=count(found.back_turns, "turn"),
        half_turns=count(found.half_turns, "half turn"),
        plans=plans,
    )
    return bottom, late, turns


def _example(one: Example, viewer: Membership, own: bool, today: date) -> ExampleShown:
    slug = viewer.club.slug
    if own:
        href = reverse("scramble", args=[slug, one.head.id, one.number])
    else:
        href = reverse("coach_plan", args=[slug, one.plan_id])
    return ExampleShown(
        href=href,
        where=scramble_of(one.head, one.number, today),
        moves=one.canonical,
        lost=_points(one.lost, own=own),
    )
