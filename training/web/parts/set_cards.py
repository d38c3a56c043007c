"""A set for its member: its line, its scrambles as cards with their states."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from training.models import Drawn, Kind, Membership
from training.selectors.plans import PlanView, ScrambleView, SetView, State
from training.selectors.set_heads import SetHead
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.corrections import note_words
from training.web.saying.counting import count
from training.web.saying.inspections import inspection_words
from training.web.saying.plans import Tone, plan_text, state_words
from training.web.saying.sets import SetLine, set_line


@dataclass(frozen=True, slots=True)
class Card:
    """One scramble of a set for its member: its state, and what is open of the verdict."""

    number: int
    href: str
    state: str
    tone: Tone
    is_next: bool
    to_plan: bool
    moves: str
    rule: EightRule | None
    over: str
    time: str = ""


@dataclass(frozen=True, slots=True)
class SetShown:
    """A set on a page: its line, its cards, where its table is; ``notes``: what was corrected."""

    id: int
    line: SetLine
    cards: tuple[Card, ...]
    left: int
    said: str
    table: str
    next_href: str
    next_number: int
    notes: tuple[str, ...]


def show_set(viewer: Membership, view: SetView, now: datetime) -> SetShown:
    """Lay out a set for its member."""
    slug = viewer.club.slug
    shown = cards_of(view, reverse("set", args=[slug, view.head.id]))
    left = len(view.to_plan)
    following = next((card for card in shown if card.is_next), None)
    if view.head.has_closed:
        said = _("This set has closed.")
    elif left == 0:
        said = _("All your plans are in.")
    else:
        said = _("{crosses} to plan.").format(crosses=count(left, "cross"))
    table = ""
    if view.challenge_id is not None:
        table = reverse("challenge", args=[slug, view.challenge_id])
    elif view.table_open and not view.head.of_member:
        table = table_href(slug, view.head)
    return SetShown(
        id=view.head.id,
        line=set_line(view.head, now, viewer.club.zone),
        cards=shown,
        left=left,
        said=said,
        table=table,
        next_href=following.href if following else "",
        next_number=following.number if following else 0,
        notes=tuple(
            note_words(one, now, viewer.club.zone, to_oneself=True) for one in view.corrections
        ),
    )


def table_href(slug: str, head: SetHead) -> str:
    """Where a set's table is: a random daily set's with its day, any other's by itself."""
    if head.kind == Kind.DAILY and head.drawn == Drawn.AS_DRAWN and not head.groups:
        return reverse("table_day", args=[slug, head.closing_day])
    return reverse("table_set", args=[slug, head.id])


def cards_of(view: SetView, base: str) -> tuple[Card, ...]:
    """The scrambles of a set as cards; ``base`` is the set's address."""
    to_plan = [one.number for one in view.to_plan]
    following = to_plan[0] if to_plan else None
    return tuple(
        _card(one, view.head, f"{base}{one.number}/", one.number == following)
        for one in view.scrambles
    )


def _card(one: ScrambleView, head: SetHead, href: str, is_next: bool) -> Card:
    if one.plan is not None:
        return replace(plan_card(one.plan, head, href, one.state), is_next=is_next)
    state, tone = state_words(one.state, head, None)
    return Card(
        number=one.number,
        href=href,
        state=state,
        tone=tone,
        is_next=is_next,
        to_plan=one.state == State.TO_PLAN,
        moves="",
        rule=None,
        over="",
    )


def plan_card(plan: PlanView, head: SetHead, href: str, stands: State | None = None) -> Card:
    """The card of a plan that is in; ``stands``: the state of its scramble, if it is another."""
    state, tone = state_words(stands or plan.state, head, plan)
    report = plan.report
    rule = None
    if report is not None and not plan.out_of_time:
        rule = eight_rule(report.best, report.moves if report.solved else None)
    return Card(
        number=plan.number,
        href=href,
        state=state,
        tone=tone,
        is_next=False,
        to_plan=False,
        moves=plan_text(plan),
        rule=rule,
        over=rule.over if rule else "",
        time=inspection_words(plan.inspection) if plan.inspection else "",
    )
