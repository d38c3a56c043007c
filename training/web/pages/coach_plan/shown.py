"""One plan laid out for a coach."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from solverworker.cube.net import net
from training.models import Membership
from training.selectors.coach import CoachPlan
from training.selectors.plans import State
from training.web.parts.outlook import OutlookShown, show_outlook
from training.web.parts.score_sheet import ScoreSheet, score_sheet
from training.web.parts.verdict import VerdictShown, show_verdict
from training.web.pictures.net import Net, draw_net
from training.web.saying.plans import Tone, plan_text, state_words
from training.web.saying.sets import SetLine, set_line
from training.web.saying.times import Said, say


@dataclass(frozen=True, slots=True)
class CoachPlanShown:
    """What ``pages/coach_plan/coach_plan.html`` needs; ``net`` stands where no verdict does.

    ``reason``: why the plan was withdrawn or could not be checked.
    """

    member: str
    number: int
    line: SetLine
    headline: str
    plan_text: str
    state: str
    tone: Tone
    reason: str
    handed_in: Said
    sheet: ScoreSheet
    failed: bool
    withdrawn: bool
    verdict: VerdictShown | None
    outlook: OutlookShown | None
    net: Net | None


def show_plan(
    viewer: Membership, found: CoachPlan, now: datetime, *, way: int, step: int
) -> CoachPlanShown:
    """Lay out a member's plan; ``way`` and ``step`` say where its cube stands."""
    one = found.plan
    state, tone = state_words(one.state, found.head, one)
    verdict, drawn = None, None
    if one.report is None:
        drawn = draw_net(net(found.scramble))
        said = _("{state}.").format(state=state)
    else:
        verdict = show_verdict(
            found.scramble,
            one.report,
            way=way,
            step=step,
            whose=one.member,
            claimed=not one.no_plan,
        )
        said = verdict.sentence
    return CoachPlanShown(
        member=one.member,
        number=one.number,
        line=set_line(found.head, now, viewer.club.zone),
        headline=_("{member}: {said}").format(member=one.member, said=said),
        plan_text=plan_text(one),
        state=state,
        tone=tone,
        reason=one.reason,
        handed_in=say(one.handed_in_at, now, viewer.club.zone),
        sheet=score_sheet(found.scramble),
        failed=one.state == State.FAILED,
        withdrawn=one.state == State.WITHDRAWN,
        verdict=verdict,
        outlook=None if one.state == State.WITHDRAWN else show_outlook(one, own=False),
        net=drawn,
    )
