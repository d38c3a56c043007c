"""A verdict laid out for reading: the sentence, the rule, the first loss, the steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from solverworker.report import PlanReport
from training.web.pictures import EightRule, eight_rule
from training.web.remarks import LostMove, fitting_edges, handling, lost_moves, slips
from training.web.steps import Stepper, make_stepper
from training.web.words import colour_sentence, first_loss, unsolved_help, verdict_sentence


@dataclass(frozen=True, slots=True)
class Shown:
    """What ``parts/verdict.html`` needs. ``lost_token`` is empty when nothing was lost."""

    sentence: str
    rule: EightRule
    colour: str
    plan: str
    solved: bool
    exact: bool
    lost_token: str
    lost_words: str
    lost_step: int
    colour_words: str
    help: str
    missing: str
    first_lost: LostMove | None
    more_lost: tuple[LostMove, ...]
    slips: tuple[SafeString, ...]
    handling: tuple[SafeString, ...]
    stepper: Stepper


def show_verdict(
    scramble: str,
    report: PlanReport,
    *,
    way: int = 0,
    step: int = 0,
    name: str = "Your plan",
    others: Sequence[int] = (),
) -> Shown:
    """Lay out what a plan is worth; ``way`` and ``step`` say where the cube stands.

    ``others``: other scrambles of the set that an unsolved plan solves, if the
    reader may know it.
    """
    lost = first_loss(report.ledger)
    all_lost = lost_moves(scramble, report)
    return Shown(
        sentence=verdict_sentence(report),
        rule=eight_rule(report.best, report.moves if report.solved else None),
        colour=report.colour,
        plan=report.canonical,
        solved=report.solved,
        exact=report.solved and report.excess == 0,
        lost_token=lost[0].token if lost else "",
        lost_words=lost[1] if lost else "",
        lost_step=report.ledger.index(lost[0]) + 1 if lost else 0,
        colour_words=colour_sentence(report),
        help=" ".join(filter(None, (unsolved_help(report), fitting_edges(report)))),
        missing=report.missing or "" if report.ledger else "",
        first_lost=all_lost[0] if all_lost else None,
        more_lost=all_lost[1:],
        slips=slips(report, others),
        handling=handling(report),
        stepper=make_stepper(scramble, report, way=way, step=step, name=name),
    )
