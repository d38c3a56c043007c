"""On the way to a plan: inspecting, looking again, drafts, a cube that differs.

What comes in twice, or when the plan is in already, changes nothing: a member may tap twice,
go back, or come again after the line was lost.
"""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta

from django.db.models import F, Q, QuerySet
from django.utils import timezone

from training import policies, rights, visibility, windows
from training.entry import Entry
from training.models import (
    CubeNote,
    Draft,
    Inspection,
    Inspects,
    Membership,
    Plan,
    Scramble,
)
from training.rules import Timing
from training.texts import first_unstorable

MOST_KEPT = 10_000
"""Characters of a draft: many times a plan."""

LONGEST_HOLD = 13

KEPT_AFTER_CLOSING = timedelta(days=30)
"""A draft that was never handed in is forgotten so long after its set has closed."""


def begin_inspection(
    *, membership: Membership, scramble: Scramble, chosen: Inspects, now: datetime | None = None
) -> Inspection:
    """Stamp the tap that begins an inspection; the first one counts. The choice is remembered.

    ``chosen`` counts where the set leaves the choice. Raises as
    :func:`training.services.plans.hand_in` where nothing can be handed in.
    """
    now = now or timezone.now()
    _require_to_plan(membership, scramble, now)
    timing = scramble.scramble_set.timing
    if timing != Timing.EITHER:
        chosen = Inspects.TIMED if timing == Timing.TIMED else Inspects.OWN
    elif chosen != membership.inspects:
        membership.inspects = chosen
        membership.save(update_fields=["inspects"])
    inspection, _new = Inspection.objects.get_or_create(
        membership=membership,
        scramble=scramble,
        defaults={"chosen": chosen, "begun_at": now},
    )
    return inspection


def end_inspection(
    *,
    membership: Membership,
    scramble: Scramble,
    begun_trip: int | None,
    now: datetime | None = None,
) -> bool:
    """Stamp the tap that opens *Write*; the first one counts. Returns whether this one does.

    ``begun_trip``: milliseconds that the request of the beginning took there and back, as the
    device measured it; None where it did not: then the inspection is untimed.
    """
    now = now or timezone.now()
    _require_to_plan(membership, scramble, now)
    running = _not_in_yet(membership, scramble).filter(ended_at=None)
    return running.update(ended_at=now, begun_trip=begun_trip) > 0


def note_trip_of_end(*, membership: Membership, scramble: Scramble, trip: int) -> None:
    """Keep how long the request of the end took, which the device knows only afterwards."""
    ended = _not_in_yet(membership, scramble).filter(ended_at__isnull=False, ended_trip=None)
    ended.update(ended_trip=trip)


def note_trip_of_beginning(*, membership: Membership, scramble: Scramble, trip: int) -> None:
    """Keep the same of the beginning, where its answer came only after the tap that ended it."""
    ended = _not_in_yet(membership, scramble).filter(ended_at__isnull=False, begun_trip=None)
    ended.update(begun_trip=trip)


def look_again(*, membership: Membership, scramble: Scramble, now: datetime | None = None) -> None:
    """Keep that the scramble was uncovered after the inspection began. Before it nothing is."""
    now = now or timezone.now()
    _require_to_plan(membership, scramble, now)
    _not_in_yet(membership, scramble).filter(looked_again_at=None).update(looked_again_at=now)


def tell_that_cube_differs(
    *, membership: Membership, scramble: Scramble, now: datetime | None = None
) -> None:
    """Tell the coach that the own cube does not look like the picture."""
    now = now or timezone.now()
    _require_to_plan(membership, scramble, now)
    CubeNote.objects.get_or_create(
        membership=membership, scramble=scramble, defaults={"told_at": now}
    )


def keep_draft(
    *,
    membership: Membership,
    scramble: Scramble,
    entry: Entry,
    key: uuid.UUID,
    now: datetime | None = None,
) -> None:
    """Keep what is written, readable or not, until it is handed in.

    Characters that no database keeps are left out, and of a novel all but its beginning.
    """
    now = now or timezone.now()
    visibility.require_set(membership, scramble.scramble_set, now)
    rights.require_enter(membership)
    Draft.objects.update_or_create(
        membership=membership,
        scramble=scramble,
        defaults={
            "written": _kept(entry.written),
            "pair_written": _kept(entry.pair),
            "choice": entry.choice,
            "lower_case_meant": entry.lower_case_meant,
            "held": _kept(entry.held)[:LONGEST_HOLD],
            "key": key,
            "written_at": now,
        },
    )


def _kept(text: str) -> str:
    while (at := first_unstorable(text)) is not None:
        text = text[:at] + text[at + 1 :]
    return text[:MOST_KEPT]


def drop_draft(*, membership: Membership, scramble: Scramble) -> None:
    """Forget what was written: the plan is in."""
    Draft.objects.filter(membership=membership, scramble=scramble).delete()


def remember_hold(*, membership: Membership, held: str) -> None:
    """Offer this hold the next time."""
    if held and held != membership.usual_hold:
        membership.usual_hold = held
        membership.save(update_fields=["usual_hold"])


def purge(*, now: datetime) -> None:
    """Forget drafts whose plan came in by another way, or whose set closed long ago."""
    closed = Q(scramble__scramble_set__closes_at__lt=now - KEPT_AFTER_CLOSING)
    handed_in = Q(
        scramble__plans__membership=F("membership"),
        scramble__plans__handed_in_at__gte=F("written_at"),
    )
    stale = Draft.objects.filter(closed | handed_in).values_list("pk", flat=True)
    Draft.objects.filter(pk__in=list(stale)).delete()


def _require_to_plan(membership: Membership, scramble: Scramble, now: datetime) -> None:
    visibility.require_set(membership, scramble.scramble_set, now)
    rights.require_enter(membership)
    windows.require_still_plan(membership, scramble.scramble_set, now)
    policies.require_counting_scramble(scramble)


def _not_in_yet(membership: Membership, scramble: Scramble) -> QuerySet[Inspection]:
    """The inspection as long as no plan is in: what it came to then is final."""
    in_already = Plan.objects.filter(membership=membership, scramble=scramble)
    found = Inspection.objects.filter(membership=membership, scramble=scramble)
    return found.none() if in_already.exists() else found
