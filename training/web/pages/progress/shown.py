"""A member's review laid out: what to work on, where moves were lost, how the weeks went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.urls import reverse

from training import statistics
from training.models import Membership
from training.selectors.review_examples import Example
from training.selectors.reviews import (
    WEEKS,
    MemberReview,
    TechniqueLine,
    Week,
)
from training.statistics import WEEKS_FOR_A_TREND, Trend
from training.web.parts.rate import RateShown, show_rate
from training.web.pictures.balance import Balance, draw_balances
from training.web.pictures.bar import Bar, loss_bar
from training.web.saying.counting import count, listed
from training.web.saying.ideas import idea_meaning, idea_name
from training.web.saying.rates import line_words, share, share_of_moves
from training.web.saying.times import say_date

TREND_AT = 0.05
"""Two-sided chance below which a trend is spoken of."""

_THIRDS = ("first third", "middle", "last third")
_STANDS_OUT = (
    "Most are lost at the beginning: before the first turn, look once more for another way in.",
    "Most are lost in the middle: the way in is good, and the edges left over pay for it. "
    "Decide on all four before you write.",
    "Most are lost at the end: these plans look too short a way ahead. Follow the last edges "
    "to the end in your head before you write.",
)


@dataclass(frozen=True, slots=True)
class ExampleShown:
    """An own plan to look at again."""

    href: str
    where: str
    moves: str
    lost: str


@dataclass(frozen=True, slots=True)
class WorkOn:
    """One thing to work on with its evidence."""

    name: str
    meaning: str
    said: str
    rate: RateShown
    lost: str
    examples: tuple[ExampleShown, ...]


@dataclass(frozen=True, slots=True)
class IdeaLine:
    """What moves were lost to. ``rate`` is None for a cause that is no technique."""

    name: str
    meaning: str
    lost: str
    bar: Bar
    rate: RateShown | None
    standing: str
    homework: str


@dataclass(frozen=True, slots=True)
class ThirdLine:
    """A third of the plan and what was lost in it."""

    name: str
    lost: int
    bar: Bar


@dataclass(frozen=True, slots=True)
class WeekLine:
    """One week against the group."""

    week: str
    plans: int
    lost: int
    against: str
    balance: Balance | None


@dataclass(frozen=True, slots=True)
class Progress:
    """What ``pages/progress.html`` needs."""

    about: str
    headline: str
    lede: str
    work_on: tuple[WorkOn, ...]
    again_idea: str
    again: tuple[ExampleShown, ...]
    has_plans: bool
    ideas: tuple[IdeaLine, ...]
    has_homework: bool
    thirds: tuple[ThirdLine, ...]
    thirds_said: str
    strong: str
    habits: tuple[str, ...]
    weeks: tuple[WeekLine, ...]
    trend: str


def show_progress(found: MemberReview, viewer: Membership, now: datetime) -> Progress:
    """Lay out a review for its member, or for a coach of the club."""
    own = found.membership.pk == viewer.pk
    today = now.astimezone(viewer.club.zone).date()
    examples = {
        code: tuple(_example(one, viewer, own, today) for one in shown)
        for code, shown in found.examples.items()
    }
    again = "" if found.to_work_on else _dearest(found.lines)
    solved = count(found.solved, "plan")
    return Progress(
        about=(
            f"The last {WEEKS} weeks, sets as drawn that have closed · "
            f"{found.solved} of {count(found.plans, 'plan')} solved · "
            f"{count(found.lost, 'move')} lost"
        ),
        headline=_headline(found),
        lede=_lede(found, solved),
        work_on=tuple(_work_on(one, examples.get(one.code, ())) for one in found.to_work_on),
        again_idea=idea_name(again) if again else "",
        again=examples.get(again, ()),
        has_plans=found.plans > 0,
        ideas=_ideas(found),
        has_homework=any(one.picked.called for one in found.lines),
        thirds=_thirds(found.thirds),
        thirds_said=_thirds_said(found),
        strong=listed([idea_name(one.code) for one in found.strong]),
        habits=_habits(found),
        weeks=_weeks(found.weeks, today),
        trend=trend_words(found.trend, [one.against_group for one in found.weeks]),
    )


def _headline(found: MemberReview) -> str:
    names = [idea_name(one.code) for one in found.to_work_on]
    if names:
        things = "One thing" if len(names) == 1 else "Two things"
        return f"{things} to work on: {listed(names)}"
    if not found.plans:
        return "Nothing to go by yet"
    return "Nothing stands out to work on"


def _lede(found: MemberReview, solved: str) -> str:
    if found.to_work_on:
        return ""
    if not found.plans:
        return "Once a set with plans has closed, this page tells what they show."
    if not found.lost and found.solved:
        return f"No move was lost in {solved}."
    if found.strong:
        names = listed([idea_name(one.code) for one in found.strong])
        return f"No idea is missed more often than in the group, and {names} clearly less."
    return (
        "No idea is missed clearly more often than in the group. That may be so, or there may be "
        "too few plans to tell."
    )


def _work_on(line: TechniqueLine, examples: tuple[ExampleShown, ...]) -> WorkOn:
    rate = show_rate(line.tally, line.interval)
    return WorkOn(
        name=idea_name(line.code),
        meaning=idea_meaning(line.code),
        said=(
            f"Called for in {count(line.tally.called, 'plan')}, answered in "
            f"{line.tally.answered}: {rate.likely}. The group answers it more often."
        ),
        rate=rate,
        lost=share_of_moves(line.lost),
        examples=examples,
    )


def _dearest(lines: Sequence[TechniqueLine]) -> str:
    """The technique with most moves lost; empty where nothing was lost to any."""
    dearest = max(lines, key=lambda one: one.lost)
    return dearest.code if dearest.lost else ""


def _ideas(found: MemberReview) -> tuple[IdeaLine, ...]:
    """Techniques and the other causes in one list, dearest first."""
    most = max([one.lost for one in found.lines] + [lost for _, lost in found.other_losses])
    ideas = [
        (
            one.lost,
            IdeaLine(
                name=idea_name(one.code),
                meaning=idea_meaning(one.code),
                lost=share(one.lost),
                bar=loss_bar(one.lost, most),
                rate=show_rate(one.tally, one.interval),
                standing=line_words(one),
                homework=_homework(one),
            ),
        )
        for one in found.lines
    ]
    ideas += [
        (
            lost,
            IdeaLine(
                name=idea_name(code),
                meaning=idea_meaning(code),
                lost=share(lost),
                bar=loss_bar(lost, most),
                rate=None,
                standing="",
                homework="",
            ),
        )
        for code, lost in found.other_losses
    ]
    return tuple(line for _, line in sorted(ideas, key=lambda one: -one[0]))


def _homework(line: TechniqueLine) -> str:
    return f"{line.picked.answered} of {line.picked.called}" if line.picked.called else "none"


def _thirds(thirds: Sequence[int]) -> tuple[ThirdLine, ...]:
    most = max(thirds)
    return tuple(
        ThirdLine(name, lost, loss_bar(lost, most))
        for name, lost in zip(_THIRDS, thirds, strict=True)
    )


def _thirds_said(found: MemberReview) -> str:
    if found.stands_out is not None:
        return _STANDS_OUT[found.stands_out]
    if sum(found.thirds) < statistics.LEAST_CALLED:
        return "Too few moves were lost to say where in a plan they go."
    return "No part of the plan stands out."


def _habits(found: MemberReview) -> tuple[str, ...]:
    """How the cube is handled: noted beside the turns, never counted."""
    if found.solved < statistics.LEAST_CALLED:
        return ()
    of = f"of {count(found.solved, 'solved plan')}"
    bottom = (
        f"The cross ends on the bottom in {found.ends_on_bottom} {of}. There your eyes are free "
        "for the first pair, and the cube need not be turned over."
    )
    late = (
        f"The whole cube is turned after the first move in {found.turns_cube_late} {of}. Turned "
        "before the first move, it costs nothing: that belongs to inspection."
    )
    turns = (
        f"{count(found.back_turns, 'turn')} of the back and {count(found.half_turns, 'half turn')} "
        f"in {count(found.solved, 'solved plan')}. Neither is wrong; both are slow on most hands."
    )
    return bottom, late, turns


def _weeks(weeks: Sequence[Week], today: date) -> tuple[WeekLine, ...]:
    begun = next((n for n, one in enumerate(weeks) if one.plans), len(weeks))
    weeks = weeks[begun:]
    balances = draw_balances([one.against_group for one in weeks])
    return tuple(
        WeekLine(
            week=f"{say_date(one.monday, today).partition(' ')[2]}",
            plans=one.plans,
            lost=one.lost,
            against=against_words(one.against_group),
            balance=balance,
        )
        for one, balance in zip(weeks, balances, strict=True)
    )


def against_words(difference: float | None) -> str:
    """A week's mean of moves lost a plan beside the group's on the same scrambles.

    >>> [against_words(one) for one in (None, 0.02, 1.25, -0.5)]
    ['no plan', 'as the group', '1.2 more a plan', '0.5 fewer a plan']
    """
    if difference is None:
        return "no plan"
    if not round(abs(difference), 1):
        return "as the group"
    return f"{abs(difference):.1f} {'more' if difference > 0 else 'fewer'} a plan"


def trend_words(trend: Trend | None, differences: Sequence[float | None]) -> str:
    """What may be said of a trend: nothing before six weeks with plans."""
    weeks = sum(one is not None for one in differences)
    if trend is None:
        return (
            f"Too early to speak of a trend: {count(weeks, 'week')} with plans, and it takes "
            f"{WEEKS_FOR_A_TREND}."
        )
    if trend.p > TREND_AT:
        return "No trend against the group: the weeks go up and down as chance does."
    by = f"about {share_of_moves(abs(trend.slope))} a plan each week"
    if trend.slope < 0:
        return f"Getting nearer to the best than the group does: {by}."
    return f"The group gets nearer to the best faster: {by}."


def _example(one: Example, viewer: Membership, own: bool, today: date) -> ExampleShown:
    slug = viewer.club.slug
    if own:
        href = reverse("scramble", args=[slug, one.head.id, one.number])
    else:
        href = reverse("coach_plan", args=[slug, one.plan_id])
    return ExampleShown(
        href=href,
        where=f"{say_date(one.head.day, today)}, scramble {one.number}",
        moves=one.canonical,
        lost=share_of_moves(one.lost),
    )
