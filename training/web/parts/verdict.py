"""A verdict laid out for reading: the sentence, the rule, the first loss, the steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from solverworker.report import PlanReport
from training.web.parts.stepper import Stepper, make_stepper
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.plans import colour_sentence, first_loss, unsolved_help, verdict_sentence
from training.web.saying.stories import fitting_edges, handling, slips


@dataclass(frozen=True, slots=True)
class VerdictShown:
    """What ``parts/verdict.html`` needs. ``lost_token`` is empty when nothing was lost.
    ``own``: the reader is the one whose plan it is."""

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
    slips: tuple[SafeString, ...]
    handling: tuple[SafeString, ...]
    own: bool
    stepper: Stepper


def show_verdict(
    scramble: str,
    report: PlanReport,
    *,
    way: int = 0,
    step: int = 0,
    whose: str = "",
    others: Sequence[int] = (),
    claimed: bool = False,
) -> VerdictShown:
    """Lay out what a plan is worth; ``way`` and ``step`` say where the cube stands.

    ``whose``: the name of the member whose plan it is, for a reader who is somebody else.
    ``others``: other scrambles of the set that an unsolved plan solves, if the
    reader may know it. ``claimed``: without moves, it was handed in as *already solved*.
    """
    name = _("{name}’s plan").format(name=whose) if whose else _("Your plan")
    lost = first_loss(report.ledger)
    return VerdictShown(
        sentence=verdict_sentence(report, claimed=claimed),
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
        slips=slips(report, others),
        handling=handling(report),
        own=not whose,
        stepper=make_stepper(scramble, report, way=way, step=step, name=name),
    )
