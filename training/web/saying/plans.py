"""Sentences about plans and what they are worth. One place, so that every page says the same."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from solverworker.report import LedgerRow, PlanReport
from solverworker.words.vocabulary import COLOURS
from training.rules import Sight
from training.selectors.plans import PlanView, State
from training.selectors.set_heads import SetHead
from training.web.saying.counting import count, listed
from training.web.saying.ideas import idea_name

Tone = Literal["quiet", "mark", "kept", "loss", ""]
"""How a state is shown, by the tokens of the style sheet; empty for plain ink."""


def state_words(state: State, head: SetHead, plan: PlanView | None) -> tuple[str, Tone]:
    """A plan's state in the product's words, with the tone it is shown in."""
    if state == State.CHECKED and plan and plan.out_of_time and plan.report:
        return _("out of time; counts 8"), "loss"
    if state == State.CHECKED and plan and plan.report and plan.report.excess is not None:
        if plan.report.excess == 0:
            return _("checked: exactly the best"), "kept"
        return _("checked: {excess} over the best").format(excess=plan.report.excess), "loss"
    if state == State.SEALED:
        if head.answers_to == Sight.COACHES:
            return _("handed in, sealed until a coach opens it"), "mark"
        return _("handed in, sealed until the set closes"), "mark"
    plain: dict[State, tuple[str, Tone]] = {
        State.TO_PLAN: (_("to plan"), ""),
        State.WAITING: (_("handed in, being checked"), "mark"),
        State.CHECKED: (_("checked"), "kept"),
        State.FAILED: (_("could not be checked"), "loss"),
        State.VOID: (_("does not count"), "quiet"),
    }
    if state in plain:
        return plain[state]
    unsolved: dict[State, tuple[str, Tone]] = {
        State.MISSED: (_("no plan came in"), "quiet"),
        State.NOT_SOLVED: (_("not solved"), "loss"),
        State.WITHDRAWN: (_("withdrawn by a coach"), "mark"),
    }
    said, tone = unsolved[state]
    if state == State.NOT_SOLVED and plan and plan.no_plan:
        said = _("no plan")
    if not head.of_member:  # one's own counts in no table
        said = _("{state}; counts 8").format(state=said)
    return said, tone


def plan_text(plan: PlanView) -> str:
    """The plan as it was meant: its moves, or one of the two choices for the empty plan."""
    if plan.no_plan:
        return _("no plan")
    return plan.canonical or _("the cross is already solved")


def length_words(plan: PlanView) -> str:
    """How long a checked plan is, without what the answers would tell."""
    if plan.moves is None:
        return ""
    if not plan.solved:
        return _("It does not solve the cross.")
    return _("It solves the cross in {moves}.").format(moves=count(plan.moves, "move"))


def say_best(best: int) -> str:
    """How many moves the best plan for a scramble has.

    >>> say_best(6)
    'best 6'
    """
    return _("best {best}").format(best=best)


def verdict_sentence(report: PlanReport, *, claimed: bool = False) -> str:
    """The one sentence at the top of a verdict.

    ``claimed``: a plan without moves was handed in as *the cross is already solved*.
    """
    if report.solved:
        moves = count(report.moves, "move")
        if report.excess:
            return _("Solved in {moves}. The best is {best}.").format(moves=moves, best=report.best)
        if report.moves == 0:
            return _("Already solved: nothing to turn.")
        return _("Solved in {moves}. No plan needs fewer.").format(moves=moves)
    if not report.ledger and claimed:
        return ngettext(
            "Handed in as already solved, and it is not: {number} move is needed.",
            "Handed in as already solved, and it is not: {number} moves are needed.",
            report.best,
        ).format(number=report.best)
    if not report.ledger:
        return _("No plan. The best is {best}.").format(best=report.best)
    return _("Not solved: {moves} short.").format(moves=count(report.distance_left, "move"))


def drawn_to_sentence(code: str, report: PlanReport) -> str:
    """Whether a plan answered the idea that a cross of a practice was drawn to."""
    idea = idea_name(code)
    found = report.techniques
    if not report.solved or found is None:
        return _(
            "This cross was picked for a {idea}. Without a plan that solves it the idea counts as "
            "missed, and comes back."
        ).format(idea=idea)
    if code in found.answered:
        return _(
            "This cross was picked for a {idea}, and your plan uses it where it is called for."
        ).format(idea=idea)
    if code in found.called:
        return _(
            "This cross was picked for a {idea}. Your plan misses it, so the idea comes back."
        ).format(idea=idea)
    return _("This cross was picked for a {idea}; your way did not call for it.").format(idea=idea)


def unsolved_help(report: PlanReport) -> str:
    """What an unsolved plan achieved and what would finish it. Empty for a solved one."""
    if report.solved or not report.ledger:
        return ""
    if report.edges_home:
        said = ngettext(
            "{number} of the 4 {colour} edges is home at the end.",
            "{number} of the 4 {colour} edges are home at the end.",
            report.edges_home,
        )
    else:
        said = _("None of the 4 {colour} edges is home at the end.")
    said = said.format(number=report.edges_home, colour=colour_name(report.colour))
    if not report.solved_colours:
        return said
    other = _("It solves the {colours} cross, which this set does not ask for.").format(
        colours=listed([colour_name(one) for one in report.solved_colours])
    )
    return f"{said} {other}"


def colour_name(colour: str) -> str:
    """A colour of the cube in the reader's tongue.

    >>> colour_name("white")
    'white'
    """
    return _(COLOURS[colour])


def first_loss(ledger: Sequence[LedgerRow]) -> tuple[LedgerRow, str] | None:
    """The first row that lost something, with what happened; None when nothing was lost."""
    for row in ledger:
        if row.loss:
            return row, _what_it_did(row)
    return None


def _what_it_did(row: LedgerRow) -> str:
    """How the cross moved by a token that lost something: nearer, or further away."""
    nearer = row.moves - row.loss
    if nearer < 0:
        said = ngettext(
            "took the cross {number} move further away",
            "took the cross {number} moves further away",
            -nearer,
        ).format(number=-nearer)
    elif nearer:
        said = ngettext(
            "brought the cross only {number} move nearer",
            "brought the cross only {number} moves nearer",
            nearer,
        ).format(number=nearer)
    else:
        said = _("brought the cross no nearer")
    if row.moves == 1:
        return said
    return _("turns two layers, so counts {number}, and {did}").format(number=row.moves, did=said)


def colour_sentence(report: PlanReport) -> str:
    """What the choice of colour cost; empty when nothing."""
    if not report.colour_choice or not report.shortest:
        return ""
    return _(
        "The choice of colour cost {moves} of that: the {nearest} cross was {best} away, "
        "the {chosen} one {distance}."
    ).format(
        moves=count(report.colour_choice, "move"),
        nearest=colour_name(report.shortest[0].colour),
        best=count(report.best, "move"),
        chosen=colour_name(report.colour),
        distance=report.distance_start,
    )
