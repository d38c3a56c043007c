"""One plan laid out for a coach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from solverworker.cube.net import net
from training.models import Corrected, Membership, Plan
from training.selectors.coach import CoachPlan
from training.selectors.corrections import newest_of_plan
from training.selectors.earlier import PlaceInReading
from training.selectors.plans import State
from training.selectors.second_looks import FoundAgain
from training.web.parts.how_planned import how_planned
from training.web.parts.outlook import OutlookShown, show_outlook
from training.web.parts.score_sheet import ScoreSheet, score_sheet
from training.web.parts.verdict import VerdictShown, show_verdict
from training.web.pictures.net import Net, draw_net
from training.web.saying.plans import Tone, plan_text, state_words
from training.web.saying.second_looks import forgotten_rotation
from training.web.saying.sets import SetLine, set_line
from training.web.saying.times import Said, say


@dataclass(frozen=True, slots=True)
class CoachPlanShown:
    """What ``pages/coach_plan/coach_plan.html`` needs; ``net`` stands where no verdict does.

    ``reason``: why the plan was withdrawn or could not be checked. ``could_be_held``: how, for an
    unsolved plan to solve; empty where no way helps. ``time_charged``: it solves, and counts 8 for
    its time; ``time_excused``: a correction lets it count as its verdict says. ``position``: where
    it stands among all of its set; ``before_href`` and ``after_href`` are empty at the ends.
    """

    member: str
    number: int
    line: SetLine
    headline: str
    plan_text: str
    how: tuple[str, ...]
    state: str
    tone: Tone
    reason: str
    handed_in: Said
    sheet: ScoreSheet
    failed: bool
    withdrawn: bool
    rotation_accepted: bool
    time_charged: bool
    time_excused: bool
    could_be_held: str
    verdict: VerdictShown | None
    outlook: OutlookShown | None
    net: Net | None
    set_href: str
    position: str
    before_href: str
    after_href: str


def show_plan(
    viewer: Membership,
    found: CoachPlan,
    row: Plan,
    reading: PlaceInReading,
    now: datetime,
    *,
    way: int | None,
    step: int,
    found_again: Sequence[FoundAgain] = (),
) -> CoachPlanShown:
    """Lay out a member's plan; ``way`` and ``step`` say where its cube stands."""
    one = found.plan
    state, tone = state_words(one.state, found.head, one)
    verdict, drawn, forgotten = None, None, None
    if one.report is None:
        drawn = draw_net(net(found.scramble))
        said = _("{state}.").format(state=state)
    else:
        forgotten = forgotten_rotation(
            found.scramble, one.report, freely=found.head.held_freely, held=one.held
        )
        verdict = show_verdict(
            found.scramble,
            one.report,
            way=way,
            step=step,
            whose=one.member,
            claimed=not one.no_plan,
            found_again=found_again,
            forgotten=forgotten,
        )
        said = verdict.sentence
    return CoachPlanShown(
        member=one.member,
        number=one.number,
        line=set_line(found.head, now, viewer.club.zone),
        headline=_("{member}: {said}").format(member=one.member, said=said),
        # The headline says that there is none.
        plan_text="" if one.no_plan else plan_text(one),
        how=how_planned(found.scramble, one),
        state=state,
        tone=tone,
        reason=one.reason,
        handed_in=say(one.handed_in_at, now, viewer.club.zone),
        sheet=score_sheet(found.scramble),
        failed=one.state == State.FAILED,
        withdrawn=one.state == State.WITHDRAWN,
        rotation_accepted=newest_of_plan(row, Corrected.ROTATION) is not None,
        time_charged=one.out_of_time and one.state == State.CHECKED,
        time_excused=newest_of_plan(row, Corrected.TIME_EXCUSED) is not None,
        could_be_held=forgotten.hold if forgotten and one.state == State.NOT_SOLVED else "",
        verdict=verdict,
        outlook=None if one.state == State.WITHDRAWN else show_outlook(one, own=False),
        net=drawn,
        set_href=reverse("coach_set", args=[viewer.club.slug, found.head.id]),
        position=_("Plan {position} of {plans}, scramble by scramble").format(
            position=reading.position, plans=reading.plans
        ),
        before_href=_href(viewer, reading.before),
        after_href=_href(viewer, reading.after),
    )


def _href(viewer: Membership, plan_id: int | None) -> str:
    return reverse("coach_plan", args=[viewer.club.slug, plan_id]) if plan_id else ""
