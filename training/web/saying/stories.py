"""What the solver tells in words, as pages show it: in the reader's tongue, moves set as moves."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.html import format_html_join
from django.utils.safestring import SafeString

from solverworker import words
from solverworker.report import PlanReport, ShortestSolution
from training.web.saying.ideas import IdeaTold, ideas_told
from training.web.saying.tongue import TONGUE


@dataclass(frozen=True, slots=True)
class LostMoveTold:
    """A lost move: what was lost and called for, the way that is enough, that way's story.

    ``step``: its place among the written ones; ``number``: which move it is, as moves count.
    ``before``: the moves before it; ``way``: that are enough from there, to the cross of
    ``colour``. ``ideas``: those of the way.
    """

    step: int
    number: int
    lost: SafeString
    called: SafeString
    instead: SafeString
    story: tuple[SafeString, ...]
    before: str
    way: str
    colour: str
    ideas: tuple[IdeaTold, ...] = ()


def set_as_moves(text: str) -> SafeString:
    """Return a text with what stands in backticks set as moves, everything else escaped.

    >>> set_as_moves("`R'` turns the bottom")
    '<b class="moves">R&#x27;</b> turns the bottom'
    """
    parts = text.split("`")
    return format_html_join(
        "",
        "{}{}{}",
        (
            (SafeString('<b class="moves">'), part, SafeString("</b>"))
            if number % 2
            else ("", part, "")
            for number, part in enumerate(parts)
        ),
    )


def story(scramble: str, way: ShortestSolution, *, after: str = "") -> tuple[SafeString, ...]:
    """Return a shortest solution in words, a text a turn; ``after``: moves made before it."""
    told = words.story_in_words(scramble, way, TONGUE, after=after)
    return tuple(set_as_moves(text) for text in told)


def lost_moves(scramble: str, report: PlanReport) -> tuple[LostMoveTold, ...]:
    """Return what there is to say of each lost move; nothing for reports by older rules."""
    return tuple(
        LostMoveTold(
            step=loss.token + 1,
            number=loss.number,
            lost=set_as_moves(loss.lost),
            called=set_as_moves(loss.called),
            instead=set_as_moves(loss.instead),
            story=tuple(set_as_moves(text) for text in loss.story),
            before=" ".join(report.canonical.split()[: loss.token]),
            way=loss.way,
            colour=lost.way.colour,
            ideas=ideas_told(idea.technique for idea in lost.way.ideas),
        )
        for loss, lost in zip(words.losses(scramble, report, TONGUE), report.lost, strict=True)
    )


def slips(report: PlanReport, others: Iterable[int] = ()) -> tuple[SafeString, ...]:
    """Return what may have gone wrong; ``others``: scrambles of the set that the plan solves."""
    said = [words.hint_in_words(hint, TONGUE) for hint in report.hints]
    said += [words.other_scramble(number, TONGUE) for number in others]
    return tuple(set_as_moves(text) for text in said)


def fitting_edges(report: PlanReport) -> str:
    """Return how many edges of an unsolved cross fit together off their centres, in a sentence."""
    return words.edges_that_fit(report, TONGUE) if report.ledger else ""


def handling(report: PlanReport) -> tuple[SafeString, ...]:
    """Return what is noted beside a plan and never counted."""
    if report.handling is None or not report.ledger:
        return ()
    return tuple(
        set_as_moves(text)
        for text in words.handling_in_words(report.handling, TONGUE, solved=report.solved)
    )
