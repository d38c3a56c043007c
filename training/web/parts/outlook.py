"""What a plan leaves beyond its cross, laid out. Only for readers to whom its answers are open."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from solverworker.outlook import PairAhead, PlanOutlook
from solverworker.report import PlanReport
from training.selectors.plans import PlanView
from training.web.saying.outlooks import (
    best_words,
    from_cross_words,
    hands_words,
    left_words,
    longer_words,
    nearer_colours,
    pair_words,
    shortest_words,
)


@dataclass(frozen=True, slots=True)
class OutlookLine:
    """A sentence, and the moves that it speaks of: ``cross``, then ``pair``; empty for none."""

    said: str
    cross: str = ""
    pair: str = ""


@dataclass(frozen=True, slots=True)
class OutlookShown:
    """What ``parts/outlook.html`` needs.

    ``awaited``: it is still being worked out; then there is nothing else.
    ``pair_written``: the moves for a first pair that came with the plan,
    ``pair``: what they are worth. ``about_hands``: whether the hands are spoken of.
    """

    title: str
    awaited: bool
    lines: tuple[OutlookLine, ...]
    pair_written: str
    pair: tuple[OutlookLine, ...]
    about_hands: bool


def show_outlook(plan: PlanView, *, own: bool) -> OutlookShown | None:
    """Lay out what a plan leaves; None where its report is not open. ``own``: of the reader."""
    if plan.report is None:
        return None
    found = plan.outlook
    ahead = found.pair_ahead if found else None
    return OutlookShown(
        title=_title(plan, plan.report, own=own),
        awaited=found is None,
        lines=_lines(found, plan.report) if found else (),
        pair_written=plan.pair_canonical,
        pair=_pair(ahead, solves=plan.report.solved, own=own) if ahead else (),
        about_hands=found is not None and found.hands is not None,
    )


def _title(plan: PlanView, report: PlanReport, *, own: bool) -> str:
    if not report.solved and not plan.pair_canonical:
        return _("The other colours")
    return _("What your plan leaves") if own else _("What the plan leaves")


def _lines(found: PlanOutlook, report: PlanReport) -> tuple[OutlookLine, ...]:
    lines: list[OutlookLine] = []
    own, shortest, longer = found.own, found.shortest, found.longer
    if own and shortest and longer:
        lines.append(OutlookLine(left_words(own), pair=own.then))
        said, show = shortest_words(own, shortest)
        lines.append(_with(said, shortest.way, shortest.then) if show else OutlookLine(said))
        said, show = longer_words(shortest, longer)
        lines.append(_with(said, longer.way, longer.then) if show else OutlookLine(said))
    if found.hands:
        said, show = hands_words(found.hands)
        lines.append(OutlookLine(said, cross=found.hands.way if show else ""))
    lines.append(OutlookLine(nearer_colours(found, report)))
    return tuple(lines)


def _with(said: str, cross: str, pair: str) -> OutlookLine:
    return OutlookLine(said, cross=cross, pair=pair)


def _pair(ahead: PairAhead, *, solves: bool, own: bool) -> tuple[OutlookLine, ...]:
    from_cross, show_from_cross = from_cross_words(ahead, solves=solves)
    best, show_best = best_words(ahead)
    return (
        OutlookLine(pair_words(ahead, solves=solves, own=own)),
        OutlookLine(from_cross, pair=ahead.from_cross_way if show_from_cross else ""),
        OutlookLine(best, cross=ahead.best_way if show_best else ""),
    )
