"""Web hooks: what is to be told is a row, sent by the slow queue, tried again, and given up.

A message holds ids and times and nothing else. It is signed: HMAC-SHA256 (RFC 2104, FIPS 198-1)
over the time of sending and the body, so that a receiver knows whom it is from and that it is
not an old one sent again.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import logging
from collections.abc import Callable, Collection, Iterable, Mapping
from datetime import UTC, datetime, timedelta

from django.conf import settings
from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from training import dispatch, rights
from training.models import Confirmation, Delivery, Event, Membership, ScrambleSet, WebHook
from training.models.hooks import new_turn
from training.refusals import InvalidEntry, NoLongerPossible
from training.services.safe_sending import NotSent, Target, checked_address, send, target_of

log = logging.getLogger(__name__)

MOST_HOOKS = 5
LOOKED_BACK = timedelta(days=2)
"""What happened longer ago is not told any more: a server that was off is no reason for a flood."""

WAITS = (
    timedelta(minutes=1),
    timedelta(minutes=5),
    timedelta(minutes=30),
    timedelta(hours=2),
    timedelta(hours=6),
    timedelta(hours=24),
)
"""How long after each try that failed the next one comes; after the last it is given up."""

BATCH = 20
CLAIMED_FOR = timedelta(minutes=2)
"""So long a worker has a message to itself; one that was killed with it is tried again then."""

KEPT_FOR = timedelta(days=30)
SIGNATURE = "Within-Eight-Signature"

Sender = Callable[[str, bytes, Mapping[str, str]], int]
"""Sends a body with headers to an address and returns the status, or raises NotSent."""

Checker = Callable[[Target], object]
"""Looks where an address leads. Raises NotSent for what is not on the open net."""


def secret_of(hook: WebHook) -> str:
    """What messages to a hook are signed with. It stands nowhere: it is made each time."""
    made_of = f"web hook {hook.pk} {hook.turn}".encode()
    return hmac.new(settings.SECRET_KEY.encode(), made_of, hashlib.sha256).hexdigest()


def make_hook(
    *,
    by: Membership,
    address: str,
    events: Collection[str],
    check: Checker = checked_address,
    now: datetime | None = None,
) -> tuple[WebHook, str]:
    """A hook and its secret, which is shown once.

    Raises NotAllowed for anybody but an owner, InvalidEntry for an address to which nothing may
    be sent, NoLongerPossible for one hook too many.
    """
    rights.require_own(by)
    address = address.strip()
    chosen = [one.value for one in Event if one in set(events)]
    if not chosen:
        raise InvalidEntry(_("Choose at least one thing to be told of."), field="events")
    try:
        check(target_of(address))
    except NotSent as refused:
        raise InvalidEntry(_(str(refused)), field="address") from None
    if WebHook.objects.filter(club=by.club).count() >= MOST_HOOKS:
        raise NoLongerPossible(_("There are five web hooks, and that is the most. End one first."))
    try:
        with transaction.atomic():
            made = WebHook.objects.create(
                club=by.club, address=address, events=chosen, made_at=now or timezone.now()
            )
    except IntegrityError:
        raise InvalidEntry(_("This address is told already."), field="address") from None
    return made, secret_of(made)


def renew_secret(*, by: Membership, hook: WebHook) -> str:
    """Another secret for a hook; the old one signs nothing from now on. Raises NotAllowed."""
    rights.require_own(by, club_id=hook.club_id)
    hook.turn = new_turn()
    hook.save(update_fields=["turn"])
    return secret_of(hook)


def end_hook(*, by: Membership, hook: WebHook) -> None:
    """End a hook with its log. Raises NotAllowed for anybody but an owner of its club."""
    rights.require_own(by, club_id=hook.club_id)
    hook.delete()


def try_again(*, by: Membership, delivery: Delivery, now: datetime | None = None) -> None:
    """Let a message be due at once that was not delivered, and anew through all its tries.

    Raises NotAllowed for anybody but an owner, NoLongerPossible for one that was delivered.
    """
    rights.require_own(by, club_id=delivery.hook.club_id)
    # One write on its own columns: a worker may deliver it at this moment.
    waits = Delivery.objects.filter(pk=delivery.pk, delivered_at=None)
    if not waits.update(next_try_at=now or timezone.now(), tries=0):
        raise NoLongerPossible(_("This was delivered, so it is not sent again."))
    dispatch.ask_for_hooks()


# What is to be told --------------------------------------------------------------


def note_due(*, now: datetime | None = None) -> int:
    """Note what has happened and nobody was told of yet. Returns how many messages are due.

    Done twice it is done once: an event of a set is told to a hook once.
    """
    now = now or timezone.now()
    rows = [
        Delivery(hook=hook, event=event, scramble_set_id=set_id, happened_at=at, next_try_at=now)
        for hook in WebHook.objects.all()
        for event, set_id, at in _happened(hook, max(hook.made_at, now - LOOKED_BACK), now)
        if event in hook.events
    ]
    Delivery.objects.bulk_create(rows, ignore_conflicts=True)
    Delivery.objects.filter(happened_at__lt=now - KEPT_FOR).delete()
    waiting = Delivery.objects.due(now).count()
    if waiting:
        dispatch.ask_for_hooks()
    return waiting


def _happened(hook: WebHook, since: datetime, now: datetime) -> Iterable[tuple[str, int, datetime]]:
    """Events of a club after ``since``: what, of which set, when."""
    sets = ScrambleSet.objects.filter(club=hook.club_id).shared()
    for set_id, at in sets.filter(opens_at__gt=since, opens_at__lte=now).values_list(
        "pk", "opens_at"
    ):
        yield Event.OPENED, set_id, at
    for set_id, at in sets.filter(closes_at__gt=since, closes_at__lte=now).values_list(
        "pk", "closes_at"
    ):
        yield Event.CLOSED, set_id, at
    confirmed = Confirmation.objects.filter(
        challenge__scramble_set__club=hook.club_id,
        # By when it was noted: what stands by itself is noted late where nothing ran.
        confirmed_at__gt=now - KEPT_FOR,
        noted_at__gt=since,
        noted_at__lte=now,
    )
    for set_id, at in confirmed.values_list("challenge__scramble_set", "confirmed_at"):
        yield Event.CONFIRMED, set_id, at


# Telling it ------------------------------------------------------------------------


def message_of(delivery: Delivery) -> bytes:
    """The body: JSON with ids and times, and nothing else."""
    return json.dumps(
        {
            "id": str(delivery.number),
            "event": delivery.event,
            "happened_at": delivery.happened_at.astimezone(UTC).isoformat(),
            "club": delivery.hook.club_id,
            "set": delivery.scramble_set_id,
        },
        separators=(",", ":"),
    ).encode()


def signed(secret: str, timestamp: int, body: bytes) -> str:
    """The signature of a body sent at a time (seconds since 1970): what the header holds.

    A receiver makes the same from the header's ``t``, a full stop and the body as it came.
    """
    over = f"{timestamp}.".encode() + body
    return f"t={timestamp},v1={digest(secret.encode(), over)}"


def digest(key: bytes, data: bytes) -> str:
    """HMAC-SHA256 in hexadecimal."""
    return hmac.new(key, data, hashlib.sha256).hexdigest()


def deliver(*, sender: Sender = send, now: datetime | None = None) -> int:
    """Try the messages that are due. Returns how many were tried.

    Each is claimed by one conditional write on its own columns before it is sent, so that of two
    workers one sends it; a worker that is killed meanwhile leaves a row that is tried again.
    """
    now = now or timezone.now()
    tried = 0
    for row in Delivery.objects.due(now).select_related("hook")[:BATCH]:
        claimed = Delivery.objects.filter(pk=row.pk, next_try_at=row.next_try_at).update(
            next_try_at=now + CLAIMED_FOR, tries=F("tries") + 1, tried_at=now
        )
        if claimed != 1:
            continue
        row.tries += 1
        _try(row, sender, now)
        tried += 1
    return tried


def _try(row: Delivery, sender: Sender, now: datetime) -> None:
    body = message_of(row)
    headers = {
        "Content-Type": "application/json",
        "User-Agent": "Within-Eight",
        SIGNATURE: signed(secret_of(row.hook), int(now.timestamp()), body),
    }
    status, trouble = None, ""
    try:
        status = sender(row.hook.address, body, headers)
    except NotSent as refused:
        trouble = str(refused)
    row.status, row.trouble = status, trouble
    if status is not None and 200 <= status < 300:
        row.delivered_at, row.next_try_at = now, None
    else:
        row.next_try_at = now + WAITS[row.tries - 1] if row.tries <= len(WAITS) else None
    row.save(update_fields=["status", "trouble", "delivered_at", "next_try_at"])
