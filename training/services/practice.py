"""A member's own short practice: techniques that were missed come back after 1, 6 and 15 days.

Common practice in spaced repetition, from memory: back to the start on a new
miss. A technique is let go once it was answered in 4 of the last 5 positions
that called for it. A missed cross comes back in a mirror or held another way,
anew each time, so that the idea is practised and not the memory; beside it
stands a fresh one that calls for the same idea. How long a cross is, the
ladder says alone (:mod:`training.ladder`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from django.db import IntegrityError, transaction
from django.utils import timezone

from solverworker.cube.variants import new_shape
from solverworker.report import PlanReport
from training import clock, dispatch, rights
from training.models import (
    Drawn,
    Kind,
    Membership,
    Plan,
    PracticeDue,
    Scramble,
    ScrambleSet,
    Verdict,
)
from training.rules import PickedProfile, Sight
from training.selectors.practice import MOST_TECHNIQUES, due_by_loss, plan_of_practice
from training.services.sets import issue

AFTER_DAYS = (1, 6, 15)
LEAST_CROSSES, MOST_CROSSES = 2, 5
METHOD = "practice"
MORE = 2
"""How many crosses come when somebody goes on."""

MOST_IN_A_DAY = 50

ANSWERED, MISSED = "1", "0"
OF_LAST, ENOUGH = 5, 4
"""A technique is let go when so many of the last positions that called for it were answered."""


def note(*, plan: Plan, report: PlanReport) -> None:
    """Take note of what a checked plan missed or answered. Call inside the verdict's transaction.

    A miss puts the technique back to the start; an answer on or after the day
    it was due takes it a step on. Answered in enough of the last positions it
    is let go. In the member's own practice a cross without a solved plan is a
    miss of what it was drawn to.
    """
    if report.techniques is None or not plan.scramble.scramble_set.is_noted_in_practice:
        return
    day = clock.local_date(plan.handed_in_at, plan.membership.club.zone)
    answered = set(report.techniques.answered)
    called = report.techniques.called if report.solved else _practised(plan)
    if not called:
        return
    there = PracticeDue.objects.filter(membership=plan.membership, code__in=called)
    due = {one.code: one for one in there}
    lines = [
        _noted(due.get(code), plan, code, day, answered=code in answered)
        for code in called
        if code in due or code not in answered
    ]
    let_go = [one.code for one in lines if _is_enough(one)]
    if let_go:
        there.filter(code__in=let_go).delete()
    if len(lines) > len(let_go):
        PracticeDue.objects.bulk_create(
            [one for one in lines if one.code not in let_go],
            update_conflicts=True,
            unique_fields=["membership", "code"],
            update_fields=["step", "due_on", "missed_plan", "last"],
        )


def _noted(
    due: PracticeDue | None, plan: Plan, code: str, day: date, *, answered: bool
) -> PracticeDue:
    """What is kept of a technique after one more position that called for it."""
    before = due.last if due else ""
    one = PracticeDue(
        membership=plan.membership,
        code=code,
        last=(before + (ANSWERED if answered else MISSED))[-OF_LAST:],
    )
    if due is None or not answered:
        one.step, one.missed_plan = 0, plan
        one.due_on = day + timedelta(days=AFTER_DAYS[0])
        return one
    one.step, one.due_on, one.missed_plan_id = due.step, due.due_on, due.missed_plan_id
    if due.due_on <= day:
        one.step = min(due.step + 1, len(AFTER_DAYS) - 1)
        one.due_on = day + timedelta(days=AFTER_DAYS[one.step])
    return one


def _is_enough(due: PracticeDue) -> bool:
    return due.last[-1] == ANSWERED and due.last.count(ANSWERED) >= ENOUGH


def _practised(plan: Plan) -> tuple[str, ...]:
    """The technique that a cross of a practice was drawn to; none for other crosses."""
    profile = plan.scramble.scramble_set.drawn_to
    code = profile.called_by(plan.scramble.number) if profile else None
    return (code,) if code else ()


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
    due = [one for one in due_by_loss(membership) if one.due_on <= day][:MOST_TECHNIQUES]
    named, ladder = plan_of_practice(membership, now)
    again = _coming_back(membership, due, longest=ladder.lengths[1])
    wanted = max(LEAST_CROSSES, min(MOST_CROSSES, len(again) + max(1, len(due))))
    profile = PickedProfile.of_practice(
        tuple(one.code for one in due) or named,
        tuple(again),
        fresh=wanted - len(again),
        lengths=ladder.lengths,
    )
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
            made,
            club=club,
            rules=rules,
            window=clock.Window(now, tomorrow),
            texts=list(again.values()),
        )
    except IntegrityError:
        # Two taps on the button: the first one made it.
        return practices.get()


def _coming_back(
    membership: Membership, due: Sequence[PracticeDue], *, longest: int
) -> dict[str, str]:
    """The missed crosses that come back, each in a shape not had before, by technique.

    One that is longer than the member's level does not: a fresh one stands for it.
    """
    seen = list(
        Scramble.objects.filter(scramble_set__for_member=membership)
        .order_by("pk")
        .values_list("text", flat=True)
    )
    best = dict(
        Verdict.objects.filter(plan__in=[one.missed_plan_id for one in due]).values_list(
            "plan", "best"
        )
    )
    found: dict[str, str] = {}
    for one in due:
        missed = one.missed_plan
        if missed is None or best.get(missed.pk, 0) > longest:
            continue
        shape = new_shape(missed.scramble.text, membership.club.rules.colours, seen)
        if shape is not None:
            found[one.code] = shape
            seen.append(shape)
    return found


def go_on(*, membership: Membership, now: datetime | None = None) -> ScrambleSet:
    """Let today's practice go on by a few fresh crosses, once all that it has are planned.

    Asked for too early or too often it stays as it is; not yet begun, it
    begins. Raises NotAllowed for an account that is not open.
    """
    now = now or timezone.now()
    rights.require_enter(membership)
    day = clock.local_date(now, membership.club.zone)
    with transaction.atomic():
        today = (
            ScrambleSet.objects.practice_of(membership).select_for_update().filter(day=day).first()
        )
        if today is None:
            return prepare(membership=membership, now=now)
        planned = Plan.objects.filter(membership=membership, scramble__scramble_set=today).count()
        profile = today.drawn_to or PickedProfile(fresh=())
        if planned >= today.scrambles_wanted and planned + MORE <= MOST_IN_A_DAY:
            today.profile = profile.with_more(MORE).to_json()
            today.scrambles_wanted += MORE
            today.save(update_fields=["profile", "scrambles_wanted"])
            dispatch.ask_for_drawing_after_commit()
    return today
