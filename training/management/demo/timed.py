"""Who of the demo club inspects by the clock, and how long it takes them."""

from __future__ import annotations

import random
from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone

from training.models import Inspection, Inspects, Membership, Scramble
from training.services.attempts import (
    begin_inspection,
    end_inspection,
    look_again,
    note_trip_of_end,
)
from training.windows import may_still_plan

TIMED = {"Noor": 12.5, "Teodor": 10.5, "Vigdis": 15.0}
"""Seconds that they take on average."""

WRITING = timedelta(seconds=40)
LATELY = timedelta(days=14)


def inspected(
    who: Membership, scramble: Scramble, at: datetime, seconds: float | None = None
) -> Inspection | None:
    """The inspection before a plan that came in ``at``; None for others and for long ago.

    ``seconds``: how long it was, where that is known.
    """
    usual = seconds or TIMED.get(who.display_name)
    if usual is None or timezone.now() - at > LATELY:
        return None
    luck = random.Random(f"{who.display_name} {scramble.text}")  # noqa: S311 - a demo, no secret
    took = timedelta(seconds=seconds or max(4.0, luck.gauss(usual, 2.2)))
    of: dict[str, Any] = {"membership": who, "scramble": scramble}
    begun = at - WRITING - took
    if not may_still_plan(who, scramble.scramble_set, begun):
        return None
    inspection = begin_inspection(**of, chosen=Inspects.TIMED, now=begun)
    if seconds is None and luck.randrange(9) == 0:
        look_again(**of, now=begun + took / 2)
    end_inspection(**of, begun_trip=luck.randrange(30, 160), now=begun + took)
    note_trip_of_end(**of, trip=luck.randrange(30, 160))
    inspection.refresh_from_db()
    return inspection
