"""Reading out what is kept of somebody: a coach's look at a member's is a line of the log."""

from __future__ import annotations

from datetime import datetime

from django.utils import timezone

from training import rights
from training.models import Done, Membership, Person
from training.selectors.club_data import data_in_club
from training.selectors.kept_in_club import ClubData
from training.selectors.own_data import OwnData, data_of
from training.services import deeds
from training.services.failures import digest_of_name


def own_data(*, person: Person, now: datetime | None = None) -> OwnData:
    """Everything about the person who asks. That somebody reads their own is nobody's business."""
    counted_as = digest_of_name(person.sign_in_name)
    return data_of(person, now or timezone.now(), counted_as=counted_as)


def club_data(*, by: Membership, membership: Membership, now: datetime | None = None) -> ClubData:
    """All that this club keeps of a membership, and nothing of the person's other clubs.

    Raises NotAllowed unless :func:`training.rights.may_export`.
    """
    rights.require_export(by, membership)
    now = now or timezone.now()
    found = data_in_club(by, membership, now)
    if by.pk != membership.pk:
        deeds.note(what=Done.EXPORTED, by=by, whom=membership, now=now)
    return found
