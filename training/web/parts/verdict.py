"""A verdict laid out for reading: the sentence, the rule, the first loss, the steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from solverworker.report import PlanReport
from training.selectors.second_looks import FoundAgain
from training.web.parts.stepper import Stepper, make_stepper
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.ideas import IdeaTold, ideas_told
from training.web.saying.plans import colour_sentence, first_loss, unsolved_help, verdict_sentence
from training.web.saying.second_looks import Forgotten, say_found_again
from training.web.saying.stories import fitting_edges, handling, slips


@dataclass(frozen=True, slots=True)
class VerdictShown:
    """What ``parts/verdict.html`` needs. ``lost_token`` is empty when nothing was lost.
    ``own``: the reader is the one whose plan it is. ``forgotten``: a rotation before the plan that
    explains everything, which then stands alone, with ``ask_href`` to ask the coach at.
    ``lesson``: without a plan, an idea of a shortest way. ``again_href``: where to try again from
    the first loss, empty where nothing was lost; ``again_says``: what that is called;
    ``found_again``: what was found so.
    """

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
    forgotten: Forgotten | None
    ask_href: str
    lesson: IdeaTold | None
    again_href: str
    again_says: str
    found_again: tuple[SafeString, ...]
    slips: tuple[SafeString, ...]
    handling: tuple[SafeString, ...]
    own: bool
    stepper: Stepper


def show_verdict(
    scramble: str,
    report: PlanReport,
    *,
    way: int | None = 0,
    step: int = 0,
    whose: str = "",
    others: Sequence[int] = (),
    claimed: bool = False,
    again_href: str = "",
    found_again: Sequence[FoundAgain] = (),
    forgotten: Forgotten | None = None,
    ask_href: str = "",
) -> VerdictShown:
    """Lay out what a plan is worth; ``way`` and ``step`` say where the cube stands.

    ``whose``: the name of the member whose plan it is, for a reader who is somebody else.
    ``others``: other scrambles of the set that an unsolved plan solves, if the
    reader may know it. ``claimed``: without moves, it was handed in as *already solved*.
    ``again_href``: where its member tries on; ``found_again``: what was found there.
    ``forgotten``: a rotation that explains everything: no loss is told before it, since none may
    be one; ``ask_href``: where its member asks the coach to accept it.
    """
    name = _("{name}’s plan").format(name=whose) if whose else _("Your plan")
    lost = None if forgotten else first_loss(report.ledger)
    step_lost = report.ledger.index(lost[0]) if lost else 0
    return VerdictShown(
        sentence=forgotten.said if forgotten else verdict_sentence(report, claimed=claimed),
        rule=eight_rule(report.best, report.moves if report.solved else None),
        colour=report.colour,
        plan=report.canonical,
        solved=report.solved,
        exact=report.solved and report.excess == 0,
        lost_token=lost[0].token if lost else "",
        lost_words=lost[1] if lost else "",
        lost_step=step_lost + 1 if lost else 0,
        colour_words="" if forgotten else colour_sentence(report),
        help=""
        if forgotten
        else " ".join(filter(None, (unsolved_help(report), fitting_edges(report)))),
        missing=report.missing or "" if report.ledger and not forgotten else "",
        forgotten=forgotten,
        ask_href=ask_href,
        lesson=_lesson(report),
        again_href=f"{again_href}?step={step_lost}"
        if again_href and not forgotten and _leaves_more(report)
        else "",
        again_says=_again(report, step_lost),
        found_again=tuple(say_found_again(one) for one in found_again),
        slips=() if forgotten else slips(report, others),
        handling=handling(report),
        own=not whose,
        stepper=make_stepper(
            scramble,
            report,
            way=way,
            step=step,
            name=name,
            again_href=again_href,
            forgotten=forgotten,
        ),
    )


def _lesson(report: PlanReport) -> IdeaTold | None:
    """Without a plan, the first idea of the nearest shortest way, if it uses one."""
    if report.ledger or report.solved:
        return None
    codes = [idea.technique for way in report.shortest[:1] for idea in way.ideas]
    return ideas_told(codes[:1])[0] if codes else None


def _again(report: PlanReport, step: int) -> str:
    if not report.ledger:
        return _("Look for a way yourself first")
    number = 1 + sum(row.moves for row in report.ledger[:step])
    return _("Try again from move {number}").format(number=number)


def _leaves_more(report: PlanReport) -> bool:
    """Whether there is something to find on a second look."""
    return not report.solved or bool(report.excess)
