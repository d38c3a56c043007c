"""Secret addresses of calendars: made, renewed, taken back."""

from __future__ import annotations

from datetime import datetime

from django.utils import timezone

from training import rights
from training.models import CalendarAddress, Membership
from training.services.phrases import digest, new_token


def make_address(*, membership: Membership, now: datetime | None = None) -> str:
    """The secret part of a new address; an earlier one stops working. Raises NotAllowed.

    It can be told this once: what is stored does not give it back.
    """
    rights.require_enter(membership)
    token = new_token()
    CalendarAddress.objects.update_or_create(
        membership=membership,
        defaults={"token_hash": digest(token), "made_at": now or timezone.now()},
    )
    return token


def take_address_back(*, membership: Membership) -> bool:
    """Let the address of somebody work no more. Returns whether there was one."""
    gone, _rows = CalendarAddress.objects.filter(membership=membership).delete()
    return gone > 0
