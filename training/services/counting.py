"""Keeps the periods over which a membership counts in step with how it stands.

A period begins at the latest of: let in by a coach, consent noted for a child, the first
sign-in. It ends when the account is archived or the consent withdrawn. Whoever stops competing
stays in for the sets that have opened: nobody leaves a bad week by a switch.
"""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from training import policies, rights
from training.models import CountingPeriod, Done, Membership, Person
from training.services import deeds, summaries


def follow(*, membership: Membership, now: datetime) -> None:
    """Begin or end a period, as the account stands now. Call inside what changed the account.

    Done twice it changes nothing. Without effect on the past, so an instant that
    lies before an earlier one (a clock set back) begins after it.
    """
    # Against a verdict that comes meanwhile, and says of its sums whether they count.
    Membership.objects.select_for_update().only("pk").get(pk=membership.pk)
    if policies.counts_from_now_on(membership):
        _begin(membership, now)
    else:
        _end(membership, now, left=policies.has_left(membership))
    summaries.count_anew(membership=membership)


def _begin(membership: Membership, now: datetime) -> None:
    periods = CountingPeriod.objects.filter(membership=membership)
    if periods.running().exists():
        return
    # Whoever stopped competing while a set was open, and begins again, is in it once.
    earlier = [one.ends_at for one in periods if one.ends_at is not None]
    CountingPeriod.objects.create(membership=membership, begins_at=max([now, *earlier]))


def _end(membership: Membership, now: datetime, *, left: bool) -> None:
    running = CountingPeriod.objects.filter(membership=membership)
    for one in running.running() if not left else running.not_left():
        if one.begins_at >= now:
            one.delete()
            continue
        one.ends_at = min(now, one.ends_at or now)
        one.left_at = now if left else None
        one.save(update_fields=["ends_at", "left_at"])


def note_sign_in(*, person: Person, now: datetime | None = None) -> None:
    """Somebody has signed in: from the first time on it is known that they can hand in."""
    running = CountingPeriod.objects.filter(membership__person=person).running()
    theirs = Membership.objects.filter(person=person).competing().select_related("person")
    for one in theirs.exclude(pk__in=running.values("membership")):
        with transaction.atomic():
            follow(membership=one, now=now or timezone.now())


def choose_competing(
    *, by: Membership, membership: Membership, competes: bool, now: datetime | None = None
) -> Membership:
    """Say whether a coach competes, from the next set that has not opened.

    Raises NotAllowed unless :func:`training.rights.may_choose_competing`, or
    InvalidEntry for a member, who always does.
    """
    rights.require_choose_competing(by, membership)
    now = now or timezone.now()
    with transaction.atomic():
        membership.refresh_from_db(from_queryset=Membership.objects.select_for_update())
        if not competes:
            policies.require_stay_out(membership)
        if competes == membership.competes:
            return membership
        membership.competes = competes
        membership.stopped_competing_at = None if competes else now
        membership.save(update_fields=["competes", "stopped_competing_at"])
        follow(membership=membership, now=now)
        detail = "competes" if competes else "stays_out"
        deeds.note(what=Done.COMPETING, by=by, whom=membership, detail=detail, now=now)
    return membership
