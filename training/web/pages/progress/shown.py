"""A member's review laid out: what to work on, where moves were lost, how the weeks went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training import clock, statistics
from training.models import Membership
from training.selectors.review_examples import Example
from training.selectors.reviews import TECHNIQUES, WEEKS, MemberReview, TechniqueLine
from training.web.pages.progress.weeks import WeekShown, show_weeks, trend_words
from training.web.parts.rate import RateShown, show_rate
from training.web.pictures.bar import Bar, loss_bar
from training.web.saying.counting import count, listed
from training.web.saying.ideas import IdeaTold, idea_meaning, idea_name, ideas_told
from training.web.saying.rates import line_words, of, share, share_of_moves
from training.web.saying.sets import which_scramble
from training.web.saying.times import say_date

_THIRDS = (gettext_lazy("first third"), gettext_lazy("middle"), gettext_lazy("last third"))
_STANDS_OUT = (
    gettext_lazy(
        "Most are lost at the beginning. "
        "What helps: looking once more for another way in before the first turn."
    ),
    gettext_lazy(
        "Most are lost in the middle: the way in is good, and the edges left over pay for it. "
        "What helps: deciding on all four edges before writing."
    ),
    gettext_lazy(
        "Most are lost at the end: these plans look too short a way ahead. "
        "What helps: following the last edges to the end before writing."
    ),
)


@dataclass(frozen=True, slots=True)
class ExampleShown:
    """A plan of the member's to look at again."""

    href: str
    where: str
    moves: str
    lost: str


@dataclass(frozen=True, slots=True)
class IdeaToWorkOn:
    """One thing to work on with its evidence."""

    name: str
    meaning: str
    said: str
    rate: RateShown
    lost: str
    examples: tuple[ExampleShown, ...]


@dataclass(frozen=True, slots=True)
class LostTo:
    """What moves were lost to. A cause that is no technique has no ``rate``, but its ``meaning``.

    ``says``: what the rate says; ``picked``: answered of called for in picked sets.
    """

    name: str
    meaning: str
    lost: str
    bar: Bar
    rate: RateShown | None
    says: str
    picked: str


@dataclass(frozen=True, slots=True)
class ThirdShown:
    """A third of the plan and what was lost in it."""

    name: str
    lost: int
    bar: Bar


@dataclass(frozen=True, slots=True)
class ProgressShown:
    """What ``pages/progress/progress.html`` needs. ``own``: the reader is the member.

    ``again``: plans that lost most to ``again_idea``, where nothing stands out to work on.
    """

    own: bool
    title: str
    about: str
    headline: str
    lede: str
    work_on: tuple[IdeaToWorkOn, ...]
    again_idea: str
    again: tuple[ExampleShown, ...]
    has_plans: bool
    lost_to: tuple[LostTo, ...]
    has_picked: bool
    ideas: tuple[IdeaTold, ...]
    thirds: tuple[ThirdShown, ...]
    thirds_said: str
    strong: str
    habits: tuple[str, ...]
    weeks: tuple[WeekShown, ...]
    trend: str


def show_progress(found: MemberReview, viewer: Membership, now: datetime) -> ProgressShown:
    """Lay out a review for its member, or for a coach of the club."""
    own = found.membership.pk == viewer.pk
    today = clock.local_date(now, viewer.club.zone)
    examples = {
        code: tuple(_example(one, viewer, own, today) for one in shown)
        for code, shown in found.examples.items()
    }
    again = "" if found.to_work_on else _dearest(found.lines)
    whose = _("{name}’s progress").format(name=found.membership.display_name)
    return ProgressShown(
        own=own,
        title=_("My progress") if own else whose,
        about=_(
            "Random sets that closed in the last {weeks}: {solved} of {plans} solved, {moves} lost."
        ).format(
            weeks=count(WEEKS, "week"),
            solved=found.solved,
            plans=count(found.plans, "plan"),
            moves=count(found.lost, "move"),
        ),
        headline=_headline(found),
        lede=_lede(found),
        work_on=tuple(_work_on(one, examples.get(one.code, ())) for one in found.to_work_on),
        again_idea=idea_name(again) if again else "",
        again=examples.get(again, ()),
        has_plans=found.plans > 0,
        lost_to=_lost_to(found),
        has_picked=any(one.picked.called for one in found.lines),
        ideas=ideas_told(TECHNIQUES),
        thirds=_thirds(found.thirds),
        thirds_said=_thirds_said(found),
        strong=_ideas(found.strong),
        habits=_habits(found),
        weeks=show_weeks(found.weeks, today),
        trend=trend_words(found.trend, [one.against_group for one in found.weeks]),
    )


def _ideas(lines: Sequence[TechniqueLine]) -> str:
    return listed([idea_name(one.code) for one in lines])


def _headline(found: MemberReview) -> str:
    if len(found.to_work_on) == 1:
        return _("One thing to work on: {idea}").format(idea=_ideas(found.to_work_on))
    if found.to_work_on:
        return _("Two things to work on: {ideas}").format(ideas=_ideas(found.to_work_on))
    if not found.plans:
        return _("Nothing to go by yet")
    return _("Nothing stands out to work on")


def _lede(found: MemberReview) -> str:
    if found.to_work_on:
        return ""
    if not found.plans:
        return _("Once a set with plans has closed, this page tells what they show.")
    if not found.lost and found.solved:
        return _("No move was lost in {plans}.").format(plans=count(found.solved, "solved plan"))
    if found.strong:
        return _(
            "No idea is missed clearly more often than in the group, "
            "and {ideas} clearly less often."
        ).format(ideas=_ideas(found.strong))
    return _(
        "No idea is missed clearly more often than in the group. "
        "There may be nothing to find, or too few plans to find it."
    )


def _work_on(line: TechniqueLine, examples: tuple[ExampleShown, ...]) -> IdeaToWorkOn:
    rate = show_rate(line.tally, line.interval)
    return IdeaToWorkOn(
        name=idea_name(line.code),
        meaning=idea_meaning(line.code),
        said=_(
            "Called for in {plans}, answered in {answered}: {likely}. "
            "The group answers it more often."
        ).format(
            plans=count(line.tally.called, "plan"),
            answered=line.tally.answered,
            likely=rate.likely,
        ),
        rate=rate,
        lost=share_of_moves(line.lost),
        examples=examples,
    )


def _dearest(lines: Sequence[TechniqueLine]) -> str:
    """The technique with most moves lost; empty where nothing was lost to any."""
    dearest = max(lines, key=lambda one: one.lost)
    return dearest.code if dearest.lost else ""


def _lost_to(found: MemberReview) -> tuple[LostTo, ...]:
    """Techniques and the other causes in one list, dearest first."""
    lines = {one.code: one for one in found.lines}
    lost = [(one.code, one.lost) for one in found.lines] + list(found.other_losses)
    most = max(moves for _code, moves in lost)
    dearest_first = sorted(lost, key=lambda one: -one[1])
    return tuple(_cause(code, moves, most, lines.get(code)) for code, moves in dearest_first)


def _cause(code: str, lost: float, most: float, line: TechniqueLine | None) -> LostTo:
    return LostTo(
        name=idea_name(code),
        meaning=idea_meaning(code),
        lost=share(lost),
        bar=loss_bar(lost, most),
        rate=show_rate(line.tally, line.interval) if line else None,
        says=line_words(line) if line else "",
        picked=_picked(line) if line else "",
    )


def _picked(line: TechniqueLine) -> str:
    return of(line.picked.answered, line.picked.called) if line.picked.called else _("none")


def _thirds(thirds: Sequence[int]) -> tuple[ThirdShown, ...]:
    most = max(thirds)
    return tuple(
        ThirdShown(str(name), lost, loss_bar(lost, most))
        for name, lost in zip(_THIRDS, thirds, strict=True)
    )


def _thirds_said(found: MemberReview) -> str:
    if found.stands_out is not None:
        return str(_STANDS_OUT[found.stands_out])
    if sum(found.thirds) < statistics.LEAST_CALLED:
        return _("Too few moves were lost to say where in a plan they go.")
    return _("No part of the plan stands out.")


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
        where=which_scramble(say_date(one.head.day, today), one.number),
        moves=one.canonical,
        lost=share_of_moves(one.lost),
    )
