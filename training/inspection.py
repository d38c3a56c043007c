"""How long an inspection took by the server's clock, and how far that can be known. Pure.

The server stamps two requests: that of the tap which begins an inspection, and that of the
tap which ends it. Each tap came before its stamp, by no more than its request took there and
back. So with ``taken`` between the stamps, the true time is no shorter than ``taken`` less the
second trip and no longer than ``taken`` and the first one. The device measures the trips, as
lengths of time: its clock says nothing of when, and beyond :data:`LONGEST_TRIP` it is not
believed, for then nobody knows how long the inspection was. What is said against a member is
said only where it is beyond doubt.

Source of the limits: WCA Regulations, January 1, 2024, A3a1 (15 seconds), A3b (calls at 8
and 12 seconds), A4d (from 15 seconds on 2 more, from 17 seconds on no result).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from training.rules import Timing

SECONDS = 15
CALLS = (8, 12)
LATE_FROM = 17

LONGEST_TRIP = 3000
"""In milliseconds: a request that took longer there and back measures nothing."""

_MS = timedelta(milliseconds=1)


@dataclass(frozen=True, slots=True)
class Inspected:
    """What is known of an inspection, in milliseconds.

    ``taken``: between the server's two stamps; None where it is untimed. The true time may be
    ``shorter`` or ``longer`` by so much. ``second_look``: the scramble was uncovered again.
    """

    taken: int | None = None
    shorter: int = 0
    longer: int = 0
    second_look: bool = False

    @property
    def timed(self) -> bool:
        return self.taken is not None

    @property
    def least(self) -> int | None:
        """The shortest that it can have been."""
        return None if self.taken is None else max(0, self.taken - self.shorter)

    @property
    def doubt(self) -> int:
        """The true time is ``taken``, give or take so much."""
        return max(self.shorter, self.longer)

    @property
    def over(self) -> bool:
        """Whether it was 15 seconds or more, beyond doubt (A4d: at a competition 2 more)."""
        return self.least is not None and self.least >= 1000 * SECONDS

    @property
    def late(self) -> bool:
        """Whether it was 17 seconds or more, beyond doubt (A4d: at a competition no result)."""
        return self.least is not None and self.least >= 1000 * LATE_FROM

    @property
    def in_time(self) -> bool:
        """Whether it stands among timed plans: timed, from one look, not late."""
        return self.timed and not self.second_look and not self.late


UNTIMED = Inspected()
"""Of a plan without an inspection that says anything."""


def inspected(
    *,
    timed: bool,
    begun_at: datetime,
    begun_trip: int | None,
    ended_at: datetime | None,
    ended_trip: int | None,
    second_look: bool,
) -> Inspected:
    """What two stamps and two trips say.

    ``timed``: that was chosen. An end whose trip nobody told is taken to have come as late as a
    trip may be long: that is in the member's favour.

    >>> from datetime import UTC
    >>> noon = datetime(2026, 11, 25, 12, tzinfo=UTC)
    >>> one = inspected(timed=True, begun_at=noon, begun_trip=80, second_look=False,
    ...     ended_at=noon + timedelta(seconds=15.1), ended_trip=200)
    >>> one.taken, one.least, one.doubt, one.over
    (15100, 14900, 200, False)
    """
    without = Inspected(second_look=second_look)
    if not timed or ended_at is None or ended_at < begun_at or begun_trip is None:
        return without
    shorter = LONGEST_TRIP if ended_trip is None else ended_trip
    if begun_trip > LONGEST_TRIP or shorter > LONGEST_TRIP:
        return without
    return Inspected((ended_at - begun_at) // _MS, shorter, begun_trip, second_look)


def charges_the_cap(timing: str, one: Inspected) -> bool:
    """Whether a plan counts the cap by how its scramble was inspected: in a timed only set."""
    return timing == Timing.TIMED and not one.in_time
