"""What became of a plan, laid out: waiting, sealed, checked, or why not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.urls import reverse

from solverworker.cube.net import net
from solverworker.cube.solving import also_solved
from training.models import Membership
from training.selectors.plans import ScrambleView, SetView, State
from training.selectors.questions import QuestionView
from training.selectors.second_looks import FoundAgain
from training.web.parts.asked import AskedShown, show_asked
from training.web.parts.how_planned import how_planned
from training.web.parts.of_set import OfSet, of_set
from training.web.parts.outlook import OutlookShown, show_outlook
from training.web.parts.score_sheet import ScoreSheet, score_sheet
from training.web.parts.verdict import VerdictShown, show_verdict
from training.web.pictures.net import Net, draw_net
from training.web.saying.plans import (
    Tone,
    drawn_to_sentence,
    length_words,
    plan_text,
    state_words,
)
from training.web.saying.second_looks import forgotten_rotation

OUTLOOK_COMES = timedelta(minutes=5)
"""So long after the verdict the page waits for what the plan leaves; it is there in a moment."""


@dataclass(frozen=True, slots=True)
class StateShown:
    """What ``pages/verdict/plan_state.html`` needs.

    ``plan_text`` is empty where no plan came in, ``pair`` where no first pair did. ``ask_again``:
    after how long the page asks for the verdict itself; empty when the plan does not wait.
    """

    of_set: OfSet
    state: str
    tone: Tone
    plan_text: str
    pair: str
    length: str
    how: tuple[str, ...]
    reason: str
    ask_again: str
    sheet: ScoreSheet
    net: Net


@dataclass(frozen=True, slots=True)
class VerdictPage:
    """What ``pages/verdict/verdict.html`` needs; ``reason`` of a plan that was withdrawn.

    ``drawn_to``: the idea that the cross was drawn to, answered or missed; empty for others.
    ``how``: how the plan came about. ``ask_outlook``: where the page asks for what the plan
    leaves, while that comes in a moment.
    ``ask_href``: where the member asks the coach; ``asked``: what they asked about it.
    """

    of_set: OfSet
    state: str
    reason: str
    drawn_to: str
    how: tuple[str, ...]
    verdict: VerdictShown
    outlook: OutlookShown | None
    ask_outlook: str
    sheet: ScoreSheet
    ask_href: str
    asked: tuple[AskedShown, ...]


def show_state(viewer: Membership, view: SetView, one: ScrambleView, now: datetime) -> StateShown:
    """Lay out a plan whose verdict is not there or not open, or the place of a missing one."""
    state, tone = state_words(one.state, view.head, one.plan)
    return StateShown(
        of_set=of_set(viewer, view, one, now),
        state=state,
        tone=tone,
        plan_text=plan_text(one.plan) if one.plan else "",
        pair=one.plan.pair_canonical if one.plan else "",
        length=length_words(one.plan) if one.plan else "",
        how=how_planned(one.text, one.plan),
        reason=one.plan.reason if one.plan else "",
        ask_again=_ask_again(one, now) if one.state == State.WAITING else "",
        sheet=score_sheet(one.text),
        net=draw_net(net(one.text)),
    )


def show_page(
    viewer: Membership,
    view: SetView,
    one: ScrambleView,
    now: datetime,
    *,
    way: int | None,
    step: int,
    questions: Sequence[QuestionView] = (),
    found_again: Sequence[FoundAgain] = (),
) -> VerdictPage:
    """Lay out a plan whose verdict is open. Raises ValueError for one without."""
    if one.plan is None or one.plan.report is None:
        raise ValueError("This plan has no open verdict.")
    report = one.plan.report
    others = [
        (each.number, each.text)
        for each in view.scrambles
        if each.answers_open and each.number != one.number
    ]
    of = of_set(viewer, view, one, now)
    ask_href = reverse("ask", args=[viewer.club.slug, view.head.id, one.number])
    fresh = one.plan.checked_at is not None and now - one.plan.checked_at < OUTLOOK_COMES
    return VerdictPage(
        of_set=of,
        state=state_words(one.state, view.head, one.plan)[0],
        reason=one.plan.reason,
        drawn_to=drawn_to_sentence(one.drawn_to, report) if one.drawn_to else "",
        how=how_planned(one.text, one.plan),
        verdict=show_verdict(
            one.text,
            report,
            way=way,
            step=step,
            others=also_solved(report, view.head.colours, others),
            claimed=not one.plan.no_plan,
            again_href=reverse("again", args=[viewer.club.slug, view.head.id, one.number]),
            found_again=found_again,
            forgotten=forgotten_rotation(
                one.text, report, freely=view.head.held_freely, held=one.plan.held
            ),
            ask_href=ask_href,
        ),
        outlook=show_outlook(one.plan, own=True),
        ask_outlook=of.here if fresh else "",
        sheet=score_sheet(one.text),
        ask_href=ask_href,
        asked=show_asked(questions, now, viewer.club.zone),
    )


def _ask_again(one: ScrambleView, now: datetime) -> str:
    """How long the page waits before it asks for the verdict again: the longer, the later."""
    waited = now - one.plan.handed_in_at if one.plan else timedelta()
    for limit, pause in ((5, "250ms"), (30, "1s"), (300, "3s")):
        if waited < timedelta(seconds=limit):
            return pause
    return "15s"
