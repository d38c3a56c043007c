"""A member's own short practice: techniques that were missed come back after 1, 6 and 15 days.

Common practice in spaced repetition, from memory: back to the start on a new
miss. A missed cross comes back in a mirror or held another way, so that the
idea is practised and not the memory; beside it stands a fresh one that calls
for the same idea.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

from django.db import IntegrityError
from django.utils import timezone

from solverworker.cube.variants import held, mirrored
from solverworker.report import PlanReport
from training import clock, rights
from training.models import Drawn, Kind, Membership, Plan, PracticeDue, ScrambleSet
from training.rules import PickedProfile, Sight
from training.selectors.practice import MOST_TECHNIQUES, codes_to_work_on
from training.services.sets import issue

AFTER_DAYS = (1, 6, 15)
LEAST_CROSSES, MOST_CROSSES = 2, 5
METHOD = "practice"


def note(*, plan: Plan, report: PlanReport) -> None:
    """Take note of what a checked plan missed or answered. Call inside the verdict's transaction.

    A miss puts the technique back to the start; an answer on or after the day
    it was due takes it a step on, and after the last step it is let go. In the
    member's own practice a cross without a solved plan is a miss of what it was
    drawn to.
    """
    if report.techniques is None:
        return
    day = clock.local_date(plan.handed_in_at, plan.membership.club.zone)
    answered = set(report.techniques.answered)
    called = report.techniques.called if report.solved else _practised(plan)
    back_at_the_start = [
        PracticeDue(
            membership=plan.membership,
            code=code,
            step=0,
            due_on=day + timedelta(days=AFTER_DAYS[0]),
            missed_plan=plan,
        )
        for code in called
        if code not in answered
    ]
    if back_at_the_start:
        PracticeDue.objects.bulk_create(
            back_at_the_start,
            update_conflicts=True,
            unique_fields=["membership", "code"],
            update_fields=["step", "due_on", "missed_plan"],
        )
    come_again = answered.intersection(called)
    if come_again:
        due = PracticeDue.objects.filter(membership=plan.membership, code__in=come_again)
        for one in due.filter(due_on__lte=day):
            _a_step_on(one, day)


def _practised(plan: Plan) -> tuple[str, ...]:
    """The technique that a cross of a practice was drawn to; none for other crosses."""
    profile = plan.scramble.scramble_set.drawn_to
    code = profile.called_by(plan.scramble.number) if profile else None
    return (code,) if code else ()


def _a_step_on(due: PracticeDue, day: date) -> None:
    if due.step + 1 == len(AFTER_DAYS):
        due.delete()
        return
    due.step += 1
    due.due_on = day + timedelta(days=AFTER_DAYS[due.step])
    due.save(update_fields=["step", "due_on"])


def prepare(*, membership: Membership, now: datetime | None = None) -> ScrambleSet:
    """Today's practice of a member, made at the first call of the day.

    Missed crosses stand in it at once, in another shape; a worker draws the
    fresh ones within a moment. With nothing due it is about what the member's
    review names, and with nothing there two crosses as they come.
    Raises NotAllowed for an account that is not open.
    """
    now = now or timezone.now()
    rights.require_enter(membership)
    club = membership.club
    day = clock.local_date(now, club.zone)
    practices = ScrambleSet.objects.practice_of(membership).filter(day=day)
    there = practices.first()
    if there is not None:
        return there
    due = list(
        PracticeDue.objects.filter(membership=membership, due_on__lte=day).select_related(
            "missed_plan__scramble"
        )[:MOST_TECHNIQUES]
    )
    again = [(one, one.missed_plan) for one in due if one.missed_plan]
    repeats = [another_shape(missed.scramble.text, one.step) for one, missed in again]
    wanted = max(LEAST_CROSSES, min(MOST_CROSSES, len(repeats) + max(1, len(due))))
    codes = tuple(one.code for one in due) or codes_to_work_on(membership, now)
    coming_back = tuple(one.code for one, _missed in again)
    profile = PickedProfile.of_practice(codes, coming_back, fresh=wanted - len(repeats))
    made = ScrambleSet(
        kind=Kind.PRACTICE,
        drawn=Drawn.PICKED,
        draw_method=METHOD,
        profile=profile.to_json(),
        scrambles_wanted=wanted,
        for_member=membership,
        day=day,
        issued_at=now,
    )
    tomorrow = clock.local_to_utc(day + timedelta(days=1), clock.MIDNIGHT, club.zone)
    # Answers at once, because it is for learning; a table of one is no table.
    rules = replace(club.rules, answers_to=Sight.OWN_PLAN, table_to=Sight.COACHES)
    try:
        return issue(
            made, club=club, rules=rules, window=clock.Window(now, tomorrow), texts=repeats
        )
    except IntegrityError:
        # Two taps on the button: the first one made it.
        return practices.get()


def another_shape(scramble: str, step: int) -> str:
    """A missed cross as it comes back: mirrored; turned about; mirrored and turned about."""
    if step == 1:
        return held(scramble, "y", 1)
    return held(mirrored(scramble), "y", 2) if step == 2 else mirrored(scramble)
