"""The web hooks of a club and what was sent to them, for its owners."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from training import rights
from training.models import Delivery, Membership, WebHook


@dataclass(frozen=True, slots=True)
class Sent:
    """A message to a hook. ``next_try_at`` is None once it was delivered or given up.

    ``id``: as the message itself says it.
    """

    id: UUID
    event: str
    set_id: int
    happened_at: datetime
    tries: int
    next_try_at: datetime | None
    delivered_at: datetime | None
    status: int | None
    trouble: str


@dataclass(frozen=True, slots=True)
class HookLine:
    """A hook with its latest messages, newest first. Its secret is nowhere."""

    id: int
    address: str
    events: tuple[str, ...]
    made_at: datetime
    sent: tuple[Sent, ...]


def hooks_of(viewer: Membership, *, latest: int = 20) -> tuple[HookLine, ...]:
    """The hooks of the viewer's club. Raises NotAllowed for anybody but an owner."""
    rights.require_own(viewer)
    rows = WebHook.objects.filter(club=viewer.club_id)
    return tuple(
        HookLine(
            one.pk,
            one.address,
            tuple(one.events),
            one.made_at,
            tuple(_sent(row) for row in one.deliveries.all()[:latest]),
        )
        for one in rows
    )


def hook_in(viewer: Membership, hook_id: int) -> WebHook | None:
    """One hook of the viewer's club; None for what is not there."""
    return WebHook.objects.filter(club=viewer.club_id, pk=hook_id).first()


def sent_to(viewer: Membership, hook: WebHook, number: UUID | None = None) -> tuple[Sent, ...]:
    """All that was sent to a hook, newest first, or the message of one number.

    Raises NotAllowed for anybody but an owner of its club.
    """
    rights.require_own(viewer, club_id=hook.club_id)
    rows = hook.deliveries.all()
    return tuple(_sent(row) for row in (rows if number is None else rows.filter(number=number)))


def delivery_in(viewer: Membership, hook: WebHook, number: UUID) -> Delivery | None:
    """One message to a hook; None for what is not there. Raises as :func:`sent_to`."""
    rights.require_own(viewer, club_id=hook.club_id)
    return hook.deliveries.filter(number=number).select_related("hook").first()


def _sent(row: Delivery) -> Sent:
    return Sent(
        id=row.number,
        event=row.event,
        set_id=row.scramble_set_id,
        happened_at=row.happened_at,
        tries=row.tries,
        next_try_at=row.next_try_at,
        delivered_at=row.delivered_at,
        status=row.status,
        trouble=row.trouble,
    )
