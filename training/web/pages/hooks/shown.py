"""Web hooks laid out: where they lead, what was sent, what came of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from training.models import Event, Membership
from training.selectors.hooks import HookLine, Sent
from training.web.saying.counting import count, listed
from training.web.saying.times import Said, say


@dataclass(frozen=True, slots=True)
class SentShown:
    """A message: what it was about, when that was, and what came of it.

    ``id``: by which it is tried again; empty for one that was delivered.
    """

    id: str
    what: str
    when: Said
    came: str
    tone: str


@dataclass(frozen=True, slots=True)
class HookShown:
    """A hook with its log."""

    id: int
    address: str
    about: str
    since: Said
    sent: tuple[SentShown, ...]


def show_hooks(
    viewer: Membership, found: Sequence[HookLine], now: datetime
) -> tuple[HookShown, ...]:
    """Lay out the hooks of a club."""
    zone = viewer.club.zone
    return tuple(
        HookShown(
            id=one.id,
            address=one.address,
            about=_("Told when {events}.").format(
                events=listed([str(Event(event).label) for event in one.events])
            ),
            since=say(one.made_at, now, zone),
            sent=tuple(_sent(row, now, zone) for row in one.sent),
        )
        for one in found
    )


def _sent(row: Sent, now: datetime, zone: ZoneInfo) -> SentShown:
    came, tone = _came(row, now, zone)
    again = "" if row.delivered_at is not None or not row.tries else str(row.id)
    return SentShown(
        again, str(Event(row.event).label), say(row.happened_at, now, zone), came, tone
    )


def _came(row: Sent, now: datetime, zone: ZoneInfo) -> tuple[str, str]:
    if row.delivered_at is not None:
        return _("delivered, answer {status}").format(status=row.status), "kept"
    if not row.tries:
        return _("waits to be sent"), "mark"
    why = _(row.trouble) if row.trouble else _("answer {status}").format(status=row.status)
    tries = count(row.tries, "time")
    if row.next_try_at is None:
        return _("given up, tried {times}: {why}").format(times=tries, why=why), "loss"
    again = say(row.next_try_at, now, zone).text
    return _("tried {times}: {why}; again {when}").format(times=tries, why=why, when=again), "mark"
