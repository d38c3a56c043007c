"""Newcomers: a coach lets in whom the club knows, and takes off whom it does not."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from training import policies, rights
from training.models import Done, Membership
from training.services import counting, deeds
from training.services.erasing import erase_account


def let_in(
    *, by: Membership, memberships: Iterable[Membership], now: datetime | None = None
) -> list[Membership]:
    """Open the accounts of newcomers, many at once; returns those that were waiting.

    They belong to the club from now on: no set that closed while they waited is
    held against them. Raises NotAllowed unless :func:`training.rights.may_let_in`
    for each; nobody is let in then.
    """
    now = now or timezone.now()
    newcomers = list(memberships)
    for one in newcomers:
        rights.require_let_in(by, one)
    waiting = Membership.objects.waiting_to_be_let_in()
    with transaction.atomic():
        # One by one, so that of two coaches who tap at once each is told whom they let in.
        found = [
            one
            for one in newcomers
            if waiting.filter(pk=one.pk).update(
                standing=policies.standing_when_let_in(one), joined_at=now
            )
        ]
        for one in found:
            one.refresh_from_db()
            counting.follow(membership=one, now=now)
            deeds.note(what=Done.LET_IN, by=by, whom=one, now=now)
    return found


def turn_away(*, by: Membership, membership: Membership) -> None:
    """Take a newcomer off who is nobody of the club, with the account if it has no other club.

    Nothing of theirs is in any table yet, and no line of the log is kept about a
    stranger. Raises NotAllowed unless :func:`training.rights.may_let_in`.
    """
    rights.require_let_in(by, membership)
    with transaction.atomic():
        gone, _rows = Membership.objects.waiting_to_be_let_in().filter(pk=membership.pk).delete()
        if gone and not Membership.objects.filter(person=membership.person_id).exists():
            erase_account(membership.person)
