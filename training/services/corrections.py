"""Corrections of results. Each is an entry; the state is what the entries not undone make.

Nothing is deleted: an entry is taken back by another one, which can be taken back in turn.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import correcting, rights
from training.models import (
    Corrected,
    Correction,
    Membership,
    OwnWindow,
    Plan,
    Scramble,
    ScrambleSet,
)
from training.refusals import InvalidEntry, NoLongerPossible
from training.selectors.corrections import concerns, resting_on
from training.services import confirming
from training.services.correction_effects import figures, follow
from training.services.validating import require_storable


def withdraw_plan(
    *, plan: Plan, by: Membership, reason: str, now: datetime | None = None
) -> Correction:
    """Take a plan out of the table: it counts as one that solves nothing. The member reads why.

    Raises as :func:`_correct`, NoLongerPossible when it is withdrawn already.
    """
    plan.refresh_from_db(fields=["status"])
    correcting.require_to_withdraw(plan)
    return _correct(Corrected.PLAN_WITHDRAWN, by, reason, now, plan=plan)


def accept_rotation(
    *, plan: Plan, by: Membership, reason: str, now: datetime | None = None
) -> Correction:
    """Accept a plan that solves as written, held otherwise: it is checked with the rotation.

    Raises as :func:`_correct`, NoLongerPossible for a plan of which that is not so.
    """
    correcting.require_words(plan)
    correcting.require_forgotten_rotation(plan)
    return _correct(Corrected.ROTATION, by, reason, now, plan=plan)


def excuse_time(
    *, plan: Plan, by: Membership, reason: str, now: datetime | None = None
) -> Correction:
    """Let a plan count as its verdict says that counted 8 for its time, as when a line was bad.

    Raises as :func:`_correct`, NoLongerPossible for a plan that no time charges.
    """
    plan.refresh_from_db(fields=["out_of_time"])
    correcting.require_to_excuse(plan)
    return _correct(Corrected.TIME_EXCUSED, by, reason, now, plan=plan)


def void_scramble(
    *, scramble: Scramble, by: Membership, reason: str, now: datetime | None = None
) -> Correction:
    """Let a scramble count for nobody, as one that was misprinted. Raises as :func:`_correct`."""
    return _correct(Corrected.SCRAMBLE_VOID, by, reason, now, scramble=scramble)


def take_set_out(
    *, scramble_set: ScrambleSet, by: Membership, reason: str, now: datetime | None = None
) -> Correction:
    """Let a whole set count for nobody, open or closed. Raises as :func:`_correct`."""
    return _correct(Corrected.SET_OUT, by, reason, now, scramble_set=scramble_set)


def put_spare(
    *, scramble: Scramble, by: Membership, reason: str, now: datetime | None = None
) -> Correction:
    """Put the set's spare in the place of a void scramble, while the set is open.

    It comes last, under a number of its own. Raises as :func:`_correct`,
    NoLongerPossible where there is none, or it is too late.
    """
    now = now or timezone.now()
    with transaction.atomic():
        ScrambleSet.objects.select_for_update().only("pk").get(pk=scramble.scramble_set_id)
        scramble = Scramble.objects.select_related("scramble_set").get(pk=scramble.pk)
        correcting.require_take_spare(scramble, now)
        of_set = scramble.scramble_set
        last = of_set.scrambles.order_by("-number")[0].number
        spare = Scramble.objects.create(
            scramble_set=of_set,
            number=last + 1,
            text=of_set.spare,
            stands_for=scramble,
            void=True,
        )
        ScrambleSet.objects.filter(pk=of_set.pk).update(spare="")
        return _correct(Corrected.SPARE, by, reason, now, scramble=spare)


def keep_open(
    *,
    scramble_set: ScrambleSet,
    until: datetime,
    by: Membership,
    reason: str,
    members: Iterable[Membership] = (),
    begins: datetime | None = None,
    now: datetime | None = None,
) -> Correction:
    """Let an open set close later. Raises as :func:`_correct`, InvalidEntry for another time.

    ``members``: for whom alone; none: for everybody. For the others it closes when it was to, and
    what waits for its closing waits for the later time. ``begins``: when it opens for these
    members, of whom none has a plan in it, and who find it sealed until then.
    """
    now = now or timezone.now()
    correcting.require_keep_open(scramble_set, until, now)
    named = [one for one in members if one.club_id == scramble_set.club_id]
    if begins is not None:
        correcting.require_other_hour(begins, until, now, named=named)
    with transaction.atomic():
        about: dict[str, Any] = {"scramble_set": scramble_set, "until": until}
        entry = _correct(Corrected.KEPT_OPEN, by, reason, now, **about)
        if begins is not None:
            # Asked once the set is locked: a plan may come in at this moment.
            begun = Plan.objects.filter(membership__in=named, scramble__scramble_set=scramble_set)
            correcting.require_not_begun(begun.select_related("membership").first())
        OwnWindow.objects.bulk_create(
            OwnWindow(correction=entry, membership=one, opens_at=begins) for one in named
        )
    return entry


def _correct(
    kind: Corrected,
    by: Membership,
    reason: str,
    now: datetime | None,
    *,
    plan: Plan | None = None,
    scramble: Scramble | None = None,
    scramble_set: ScrambleSet | None = None,
    until: datetime | None = None,
) -> Correction:
    """Make an entry and what follows from it, at once or not at all.

    Raises NotAllowed unless :func:`training.rights.may_correct`, InvalidEntry
    without a reason, NoLongerPossible for what is corrected so already or may not be.
    """
    scramble = plan.scramble if plan is not None else scramble
    scramble_set = scramble.scramble_set if scramble is not None else scramble_set
    assert scramble_set is not None
    now = now or timezone.now()
    correcting.require_correctable(scramble_set, now)
    own = _require_right(by, scramble_set)
    entry = Correction(
        club_id=scramble_set.club_id,
        kind=kind,
        scramble_set=scramble_set,
        scramble=scramble,
        plan=plan,
        by=by,
        done_at=now,
        reason=_why(reason),
        own_table=own,
    )
    try:
        with transaction.atomic():
            _lock(entry)
            # What had come to stand by itself is kept from the entries before this one.
            confirming.settle(set_id=entry.scramble_set_id, now=now)
            entry.before = figures(entry)
            if until is not None:
                entry.after = {"closes_at": until.isoformat()}
            entry.save(force_insert=True)
            follow(entry, now)
            entry.after = figures(entry)
            entry.save(update_fields=["after"])
    except IntegrityError:
        raise NoLongerPossible(correcting.corrected_already(kind)) from None
    return entry


def undo(
    *, correction: Correction, by: Membership, reason: str, now: datetime | None = None
) -> Correction:
    """Take an entry back by another one. What it changed is as if it had not been made.

    Raises NotAllowed unless :func:`training.rights.may_correct`, InvalidEntry
    without a reason, NoLongerPossible when it was taken back already or others rest on it.
    """
    now = now or timezone.now()
    own = _require_right(by, correction.scramble_set)
    why = _why(reason)
    with transaction.atomic():
        _lock(correction)
        confirming.settle(set_id=correction.scramble_set_id, now=now)
        correction = Correction.objects.get(pk=correction.pk)
        correcting.require_undoable(correction, resting_on(correction))
        correcting.require_time_to_undo(correction, now)
        entry = Correction(
            club_id=correction.club_id,
            kind=correction.kind,
            scramble_set=correction.scramble_set,
            scramble=correction.scramble,
            plan=correction.plan,
            undoes=correction,
            by=by,
            done_at=now,
            reason=why,
            own_table=own,
            before=figures(correction),
        )
        _turn(correction)
        entry.save(force_insert=True)
        follow(entry, now)
        entry.after = figures(entry)
        entry.save(update_fields=["after"])
    return entry


def _turn(entry: Correction) -> None:
    """An entry changes sides, and so does each that it undoes in turn."""
    earlier: Correction | None = entry
    chain: list[Correction] = []
    while earlier is not None:
        chain.append(earlier)
        earlier = earlier.undoes
    # Those that fall first, so that never two stand for one thing.
    for one in sorted(chain, key=lambda each: not each.in_force):
        one.in_force = not one.in_force
        one.save(update_fields=["in_force"])


def _require_right(by: Membership, scramble_set: ScrambleSet) -> bool:
    """Raise NotAllowed unless ``by`` may correct; whether it is in a table of their own."""
    rights.require_coach(by, club_id=scramble_set.club_id)
    own, others = concerns(by, scramble_set)
    rights.require_correct(by, own_table=own, others=others)
    return own


def _why(reason: str) -> str:
    reason = require_storable(reason, "reason")
    if not reason:
        raise InvalidEntry(_("Say why, in a few words."), field="reason")
    return reason[:200]


def _lock(entry: Correction) -> None:
    """One correction of a set at a time."""
    ScrambleSet.objects.select_for_update().only("pk").get(pk=entry.scramble_set_id)
