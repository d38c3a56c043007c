"""The first page laid out: one worked cross to step through, or the clubs to choose from."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from solverworker.report import LedgerRow
from training.models import Membership
from training.web.navigation import home_of
from training.web.pages.first.worked_cross import worked_cross
from training.web.parts.score_sheet import ScoreSheet, score_sheet
from training.web.parts.stepper import Stepper, make_stepper
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.plans import first_loss, verdict_sentence
from training.web.saying.stories import LostMoveTold, lost_moves


@dataclass(frozen=True, slots=True)
class FirstShown:
    """What ``pages/first/first.html`` needs. ``lost``: the first lost row and what it did."""

    sheet: ScoreSheet
    verdict: str
    lost: tuple[LedgerRow, str] | None
    called: LostMoveTold | None
    rule: EightRule
    plan: str
    stepper: Stepper


@dataclass(frozen=True, slots=True)
class ClubLink:
    """A club that the reader belongs to."""

    name: str
    href: str


def show_first(*, way: int, step: int) -> FirstShown:
    """Lay out the worked cross; ``way`` and ``step`` say where its cube stands."""
    worked = worked_cross()
    report = worked.report
    return FirstShown(
        sheet=score_sheet(worked.scramble),
        verdict=verdict_sentence(report),
        lost=first_loss(report.ledger),
        called=next(iter(lost_moves(worked.scramble, report)), None),
        rule=eight_rule(report.best, report.moves),
        plan=report.canonical,
        stepper=make_stepper(worked.scramble, report, way=way, step=step, name=_("The plan")),
    )


def club_links(memberships: list[Membership]) -> tuple[ClubLink, ...]:
    """Each club with the page at which the membership's day begins."""
    return tuple(ClubLink(one.club.name, home_of(one)) for one in memberships)
