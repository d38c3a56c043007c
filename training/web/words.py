"""Sentences about plans. One place, so that every page says the same."""

from __future__ import annotations

import re
from collections.abc import Sequence

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from solverworker.report import LedgerRow, PlanReport
from solverworker.words import ENTRIES, name_of
from training.web.pictures.steps_in_words import count

__all__ = [
    "colour_sentence",
    "count",
    "crosses_allowed",
    "first_loss",
    "idea_meaning",
    "idea_name",
    "listed",
    "told",
    "unsolved_help",
    "verdict_sentence",
]


def listed(names: Sequence[str], last: str = "and") -> str:
    """Names in a row, as a sentence has them.

    >>> listed(["white", "yellow", "green"], "or"), listed(["Noor"])
    ('white, yellow or green', 'Noor')
    """
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {last} {names[-1]}"


def idea_name(code: str) -> str:
    """A technique or another cause of lost moves, by the name that people use.

    >>> idea_name("base_turn")
    'base turn'
    """
    return name_of(code)


def idea_meaning(code: str) -> str:
    """What a technique is, or what another cause of lost moves means, in a sentence or two.

    >>> idea_meaning("shared_turn")
    'One turn helps two edges at once.'
    """
    return ENTRIES[code].meaning


def told(message: str) -> SafeString:
    """A message with what stands in backticks set as code, everything else escaped.

    >>> told("`R4` is <no> move")
    '<code>R4</code> is &lt;no&gt; move'
    """
    return mark_safe(re.sub(r"`([^`]+)`", r"<code>\1</code>", escape(message)))  # noqa: S308


def crosses_allowed(colours: Sequence[str]) -> str:
    """Which crosses a set asks for.

    >>> crosses_allowed(["white"]), crosses_allowed(["white", "yellow"])
    ('white cross', 'white or yellow cross')
    """
    if len(colours) == 6:
        return "cross of any colour"
    return f"{listed(colours, 'or')} cross"


def verdict_sentence(report: PlanReport) -> str:
    """The one sentence at the top of a verdict."""
    if report.solved:
        if report.excess == 0:
            if report.moves == 0:
                return "Already solved: nothing to turn."
            return f"Solved in {count(report.moves, 'move')}. No plan needs fewer."
        return f"Solved in {count(report.moves, 'move')}. The best is {report.best}."
    if not report.ledger:
        return f"No plan. The best is {report.best}."
    return f"Not solved: {count(report.distance_left, 'move')} short."


def unsolved_help(report: PlanReport) -> str:
    """What an unsolved plan achieved and what would finish it. Empty for a solved one."""
    if report.solved or not report.ledger:
        return ""
    other = ""
    if report.solved_colours:
        other = (
            f" It solves the {listed(report.solved_colours)} cross, which this set does not "
            "ask for."
        )
    home = f"{report.edges_home or 'None'} of the 4 {report.colour} edges stand home at the end."
    return home + other


def first_loss(ledger: Sequence[LedgerRow]) -> tuple[LedgerRow, str] | None:
    """The first row that lost something, with what happened; None when nothing was lost."""
    for row in ledger:
        if row.loss:
            if row.loss == 1:
                return row, "brought the cross no nearer"
            if row.moves == 2:
                return row, f"lost {count(row.loss, 'move')}: it counts two and brought too little"
            return row, "took the cross one move further away"
    return None


def colour_sentence(report: PlanReport) -> str:
    """What the choice of colour cost; empty when nothing."""
    if not report.colour_choice or not report.shortest:
        return ""
    return (
        f"{count(report.colour_choice, 'move').capitalize()} of that went on the colour: "
        f"the {report.shortest[0].colour} cross was {count(report.best, 'move')} away, "
        f"the {report.colour} one {report.distance_start}."
    )
