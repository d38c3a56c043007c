"""How a set, a scramble and a plan are named on the pages."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal
from zoneinfo import ZoneInfo

from training.models import Kind, Sight
from training.selectors.heads import SetHead
from training.selectors.plans import PlanView, ScrambleView, SetView, State
from training.web.pictures import EightRule, eight_rule
from training.web.times import Said, say
from training.web.words import count, crosses_allowed

Tone = Literal["quiet", "mark", "kept", "loss", ""]

_DRAWN = {
    "thirty_turns": "30 random face turns from a secure source",
    "random_state": "a uniform random state",
    "picked": "lot among the crosses that call for its idea",
    "practice": "lot among the crosses that call for what is due",
}

_ANSWERS = {
    Sight.OPEN: "Best, ledger and shortest solutions are open from the start.",
    Sight.OWN_PLAN: "Best, ledger and shortest solutions open scramble by scramble, "
    "once your own plan is in.",
    Sight.CLOSING: "Best, ledger and shortest solutions open when the set has closed.",
    Sight.COACHES: "Best, ledger and shortest solutions are for the coaches, who tell you.",
}
_TABLE = {
    Sight.OPEN: "The table is open from the start.",
    Sight.OWN_PLAN: "The table opens once all your plans of the set are in.",
    Sight.CLOSING: "The table opens when the set has closed.",
    Sight.COACHES: "The table is for the coaches.",
}


@dataclass(frozen=True, slots=True)
class SetLine:
    """A set in words. ``verb`` and ``when`` read together: "closes", "today at 20:00"."""

    title: str
    verb: str
    when: Said
    crosses: str
    spelling: str
    who_sees: str
    drawn: str


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


def set_line(head: SetHead, now: datetime, zone: ZoneInfo) -> SetLine:
    """Say what a set is, when it closes and who sees what of it when."""
    return SetLine(
        title=head.title,
        verb="closed" if head.has_closed else "closes",
        when=say(head.closes_at, now, zone),
        crosses=crosses_allowed(head.colours),
        spelling="strict WCA spelling" if head.strict else "",
        who_sees=f"{_ANSWERS[Sight(head.answers_to)]} {_TABLE[Sight(head.table_to)]}",
        drawn=f"Drawn by {_DRAWN.get(head.draw_method, head.draw_method.replace('_', ' '))}.",
    )


def state_words(state: State, head: SetHead, plan: PlanView | None) -> tuple[str, Tone]:
    """A plan's state in the product's words, with the tone it is shown in."""
    if state == State.CHECKED and plan and plan.report and plan.report.excess is not None:
        if plan.report.excess == 0:
            return "checked: exactly the best", "kept"
        return f"checked: {plan.report.excess} over the best", "loss"
    if state == State.SEALED:
        until = "a coach opens it" if head.answers_to == Sight.COACHES else "the set closes"
        return f"handed in, sealed until {until}", "mark"
    # Practice stands in no table.
    counts = "" if head.kind == Kind.PRACTICE else "; counts 8"
    words: dict[State, tuple[str, Tone]] = {
        State.TO_PLAN: ("to plan", ""),
        State.MISSED: (f"no plan came in{counts}", "quiet"),
        State.WAITING: ("handed in, being checked", "mark"),
        State.CHECKED: ("checked", "kept"),
        State.NOT_SOLVED: (f"not solved{counts}", "loss"),
        State.FAILED: ("could not be checked", "loss"),
        State.WITHDRAWN: (f"withdrawn by a coach{counts}", "mark"),
    }
    if state == State.NOT_SOLVED and plan and plan.no_plan:
        return f"no plan{counts}", "loss"
    return words[state]


def cards(view: SetView, base: str) -> tuple[Card, ...]:
    """The scrambles of a set as cards; ``base`` is the set's address."""
    to_plan = [one.number for one in view.to_plan]
    following = to_plan[0] if to_plan else None
    return tuple(
        _card(one, view.head, f"{base}{one.number}/", one.number == following)
        for one in view.scrambles
    )


def _card(one: ScrambleView, head: SetHead, href: str, is_next: bool) -> Card:
    state, tone = state_words(one.state, head, one.plan)
    report = one.plan.report if one.plan else None
    rule = eight_rule(report.best, report.moves if report.solved else None) if report else None
    return Card(
        number=one.number,
        href=href,
        state=state,
        tone=tone,
        is_next=is_next,
        to_plan=one.state == State.TO_PLAN,
        moves=plan_text(one.plan) if one.plan else "",
        rule=rule,
        over="" if report is None else rule.over if rule else "",
    )


def plan_text(plan: PlanView) -> str:
    """The plan as it was meant: its moves, or one of the two choices for the empty plan."""
    if plan.no_plan:
        return "no plan"
    return plan.canonical or "the cross is already solved"


def length_words(plan: PlanView) -> str:
    """How long a checked plan is, without what the answers would tell."""
    if plan.moves is None:
        return ""
    if not plan.solved:
        return "It does not solve the cross."
    return f"It solves the cross in {count(plan.moves, 'move')}."
