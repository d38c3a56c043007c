"""A member's own short practice: techniques that were missed come back, as
:mod:`training.coming_back` says.

A missed cross comes back in a mirror or held another way, anew each time, so
that the idea is practised and not the memory; beside it stands a fresh one
that calls for the same idea. How long a cross is, the ladder says alone
(:mod:`training.ladder`).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from django.db import IntegrityError, transaction
from django.utils import timezone

from solverworker.cube.variants import new_shape
from solverworker.report import PlanReport
from training import clock, dispatch, rights
from training.coming_back import Return, after
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

LEAST_CROSSES, MOST_CROSSES = 2, 5
METHOD = "practice"
MORE = 2
"""How many crosses come when somebody goes on."""

MOST_IN_A_DAY = 50
ROWS_AT_ONCE = 2000


def note(*, plan: Plan, report: PlanReport) -> None:
    """Take note of what a checked plan missed or answered. Call inside the verdict's transaction.

    A miss puts the technique back to the start; an answer on or after the day
    it was due takes it a step on. Answered in enough of the last positions it
    is let go. In the member's own practice a cross without a solved plan is a
    miss of what it was drawn to.
    """
    of_set = plan.scramble.scramble_set
    if report.techniques is None or plan.scramble.void or not of_set.is_noted_in_practice:
        return
    day = clock.local_date(plan.handed_in_at, plan.membership.club.zone)
    answered = set(report.techniques.answered)
    called = report.techniques.called if report.solved else _practised(plan)
    there = PracticeDue.objects.filter(membership=plan.membership, code__in=called)
    due = {one.code: _kept(one) for one in there} if called else {}
    found = {
        code: after(due.get(code), plan=plan.pk, day=day, answered=code in answered)
        for code in called
    }
    let_go = [code for code in due if found[code] is None]
    if let_go:
        there.filter(code__in=let_go).delete()
    _keep({(plan.membership_id, code): one for code, one in found.items() if one is not None})


def renew(*, memberships: Collection[int]) -> None:
    """Make what comes back to some members anew from their plans that count, in their order.

    Call inside the transaction that changed which those are: a plan that is
    withdrawn, or of a cross that counts for nobody, has neither missed nor answered anything.
    """
    rows = (
        Verdict.objects.counting()
        .filter(plan__membership__in=memberships, techniques__isnull=False)
        .in_sets(ScrambleSet.objects.noted_in_practice())
        .order_by("plan__handed_in_at", "plan_id")
        .values_list(
            "plan__membership_id",
            "plan_id",
            "plan__handed_in_at",
            "solved",
            "techniques",
            "plan__scramble__number",
            "plan__scramble__scramble_set_id",
        )
    )
    people = Membership.objects.filter(pk__in=memberships).select_related("club")
    zones = {one.pk: one.club.zone for one in people}
    practices = ScrambleSet.objects.filter(for_member__in=memberships, kind=Kind.PRACTICE)
    drawn_to = {one.pk: one.drawn_to for one in practices}
    found: dict[tuple[int, str], Return] = {}
    for member, plan, at, solved, told, number, set_id in rows.iterator(ROWS_AT_ONCE):
        assert told is not None  # asked for above
        called = told["called"] if solved else _called_by(drawn_to.get(set_id), number)
        for code in called:
            one = after(
                found.pop((member, code), None),
                plan=plan,
                day=clock.local_date(at, zones[member]),
                answered=code in told["answered"],
            )
            if one is not None:
                found[member, code] = one
    PracticeDue.objects.filter(membership__in=memberships).delete()
    _keep(found)


def _kept(due: PracticeDue) -> Return:
    return Return(due.step, due.due_on, due.last, due.missed_plan_id)


def _keep(found: Mapping[tuple[int, str], Return]) -> None:
    """Store what comes back, by membership and technique."""
    PracticeDue.objects.bulk_create(
        [
            PracticeDue(
                membership_id=member,
                code=code,
                step=one.step,
                due_on=one.due_on,
                last=one.last,
                missed_plan_id=one.missed_plan,
            )
            for (member, code), one in found.items()
        ],
        update_conflicts=True,
        unique_fields=["membership", "code"],
        update_fields=["step", "due_on", "missed_plan", "last"],
    )


def _practised(plan: Plan) -> tuple[str, ...]:
    """The technique that a cross of a practice was drawn to; none for other crosses."""
    return _called_by(plan.scramble.scramble_set.drawn_to, plan.scramble.number)


def _called_by(profile: PickedProfile | None, number: int) -> tuple[str, ...]:
    code = profile.called_by(number) if profile else None
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
    rules = replace(club.rules.for_oneself, answers_to=Sight.OWN_PLAN, table_to=Sight.COACHES)
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
