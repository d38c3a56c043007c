"""The web hooks of a club and what was sent to them, for its owners."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from training import rights
from training.models import Delivery, Membership, WebHook


@dataclass(frozen=True, slots=True)
class Sent:
    """A message to a hook. ``next_try_at`` is None once it was delivered or given up."""

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


def _sent(row: Delivery) -> Sent:
    return Sent(
        event=row.event,
        set_id=row.scramble_set_id,
        happened_at=row.happened_at,
        tries=row.tries,
        next_try_at=row.next_try_at,
        delivered_at=row.delivered_at,
        status=row.status,
        trouble=row.trouble,
    )
