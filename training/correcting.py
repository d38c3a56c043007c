"""Does the state allow a correction of results? Beside :mod:`training.policies`, by its rules."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from solverworker.report import Hint, PlanReport
from training.models import (
    Corrected,
    Correction,
    Membership,
    Plan,
    PlanStatus,
    Scramble,
    ScrambleSet,
    Verdict,
)
from training.policies import has_opened, is_former, is_open, still_counts
from training.refusals import InvalidEntry, NoLongerPossible

LONGEST = timedelta(days=1)
"""By how much a set is kept open longer at most."""


def may_be_corrected(scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether there is anything to correct: in a set of the club that has opened."""
    return scramble_set.for_member_id is None and has_opened(scramble_set, now)


def require_correctable(scramble_set: ScrambleSet, now: datetime) -> None:
    """Raise NoLongerPossible unless :func:`may_be_corrected`."""
    if not may_be_corrected(scramble_set, now):
        raise NoLongerPossible(_("Only a set of the club that has opened is corrected."))


def may_be_withdrawn(plan: Plan) -> bool:
    """Whether a plan still counts, and can be read."""
    return still_counts(plan) and has_words(plan)


def require_to_withdraw(plan: Plan) -> None:
    """Raise NoLongerPossible unless :func:`may_be_withdrawn`."""
    require_words(plan)
    if not may_be_withdrawn(plan):
        raise NoLongerPossible(corrected_already(Corrected.PLAN_WITHDRAWN))


def may_be_excused(plan: Plan) -> bool:
    """Whether a plan counts 8 for its time, and can be read."""
    return plan.out_of_time and has_words(plan)


def require_to_excuse(plan: Plan) -> None:
    """Raise NoLongerPossible unless :func:`may_be_excused`."""
    require_words(plan)
    if not may_be_excused(plan):
        raise NoLongerPossible(_("No time charges this plan."))


def has_words(plan: Plan) -> bool:
    """Whether a plan can still be read: of a former member's the number alone is left."""
    return not is_former(plan.membership)


def require_words(plan: Plan) -> None:
    """Raise NoLongerPossible unless :func:`has_words`."""
    if not has_words(plan):
        raise NoLongerPossible(_("Of a former member’s plan only the number is left."))


def forgotten_rotation(verdict: Verdict) -> Hint | None:
    """How the cube must be held for a plan to solve as written; None where nothing helps."""
    if verdict.solved:
        return None
    hints = PlanReport.from_dict(verdict.report).hints
    return next((hint for hint in hints if hint.kind == "held"), None)


def require_forgotten_rotation(plan: Plan) -> None:
    """Raise NoLongerPossible unless :func:`forgotten_rotation` of the plan's verdict."""
    verdict: Verdict | None = getattr(plan, "verdict", None)
    if plan.status != PlanStatus.CHECKED or verdict is None or forgotten_rotation(verdict) is None:
        raise NoLongerPossible(_("No rotation before this plan would make it solve."))


def may_take_spare(scramble: Scramble, now: datetime) -> bool:
    """Whether the spare can stand in for a scramble: a void one, in an open set that has it yet."""
    of_set = scramble.scramble_set
    return scramble.void and bool(of_set.spare) and is_open(of_set, now)


def require_take_spare(scramble: Scramble, now: datetime) -> None:
    """Raise NoLongerPossible unless :func:`may_take_spare`."""
    if not may_take_spare(scramble, now):
        raise NoLongerPossible(
            _(
                "A spare is put in the place of a scramble that was taken out, once in a set and "
                "only while the set is open."
            )
        )


def may_keep_open(scramble_set: ScrambleSet, until: datetime, now: datetime) -> bool:
    """Whether a set can close later: an open one, by a day at most."""
    later = scramble_set.closes_at < until <= scramble_set.closes_at + LONGEST
    return later and is_open(scramble_set, now)


def require_keep_open(scramble_set: ScrambleSet, until: datetime, now: datetime) -> None:
    """Raise InvalidEntry unless :func:`may_keep_open`."""
    if not may_keep_open(scramble_set, until, now):
        raise InvalidEntry(
            _("A set that is open can be kept open longer, by a day at most."), field="until"
        )


def may_have_other_hour(
    begins: datetime, until: datetime, now: datetime, *, named: Sequence[Membership]
) -> bool:
    """Whether a set can open at ``begins`` for some members: later than now, before it closes."""
    return now < begins < until and bool(named)


def require_other_hour(
    begins: datetime, until: datetime, now: datetime, *, named: Sequence[Membership]
) -> None:
    """Raise InvalidEntry unless :func:`may_have_other_hour`."""
    if may_have_other_hour(begins, until, now, named=named):
        return
    if not named:
        raise InvalidEntry(_("Choose at least one member."), field="members")
    raise InvalidEntry(_("For them it opens later than now, and before it closes."), field="begins")


def has_not_begun(plan: Plan | None) -> bool:
    """Whether members have none of a set's plans in; ``plan``: one that they have."""
    return plan is None


def require_not_begun(plan: Plan | None) -> None:
    """Raise InvalidEntry unless :func:`has_not_begun`, with what can be done instead."""
    if plan is not None and not has_not_begun(plan):
        raise InvalidEntry(
            _(
                "{name} has a plan in already, so has read the set. It can be open longer for "
                "them, but not at another hour."
            ).format(name=plan.membership.display_name),
            field="members",
        )


def corrected_already(kind: str) -> str:
    """What is said of a second correction of the same."""
    return {
        Corrected.PLAN_WITHDRAWN: _("This plan has been withdrawn already."),
        Corrected.ROTATION: _("The rotation has been accepted already."),
        Corrected.TIME_EXCUSED: _("The time has been excused already."),
        Corrected.SCRAMBLE_VOID: _("This scramble does not count already."),
        Corrected.SET_OUT: _("This set does not count already."),
        Corrected.SPARE: _("The spare stands in its place already."),
        Corrected.KEPT_OPEN: _("The set is kept open longer already."),
    }[Corrected(kind)]


def may_be_undone(correction: Correction, resting: Sequence[Correction]) -> bool:
    """Whether an entry can be taken back: it is in force, and none other rests on it."""
    return correction.in_force and not hasattr(correction, "undone_by") and not resting


def require_undoable(correction: Correction, resting: Sequence[Correction]) -> None:
    """Raise NoLongerPossible unless :func:`may_be_undone`, naming what rests on it."""
    if may_be_undone(correction, resting):
        return
    if resting and not hasattr(correction, "undone_by"):
        named = ", ".join(str(one.pk) for one in resting)
        raise NoLongerPossible(
            _("Entry {named} rests on this one. Take that back first.").format(named=named)
        )
    raise NoLongerPossible(_("This entry has been taken back already."))


def still_undoes(entry: Correction, now: datetime) -> bool:
    """Whether time allows to take an entry back.

    Hours that were given are not taken once they have begun, and a spare is put
    in again only while the set is open.
    """
    if entry.kind == Corrected.KEPT_OPEN:
        return all(
            now < datetime.fromisoformat(one["closes_at"]) for one in (entry.before, entry.after)
        )
    rises = entry.kind == Corrected.SPARE and entry.undoes_id is not None
    if not rises or entry.scramble is None or entry.scramble.stands_for is None:
        return True
    return is_open(entry.scramble_set, now) and entry.scramble.stands_for.void


def require_time_to_undo(entry: Correction, now: datetime) -> None:
    """Raise NoLongerPossible unless :func:`still_undoes`."""
    if not still_undoes(entry, now):
        raise NoLongerPossible(_("It is too late for that: the set would have closed by then."))
