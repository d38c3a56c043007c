"""What follows from a stored inspection: what is known of it, and what a plan after it counts.

The rule itself, without rows, is in :mod:`training.inspection`. Beside policies.
"""

from __future__ import annotations

from training.inspection import UNTIMED, Inspected, charges_the_cap, inspected
from training.models import Inspection, Inspects, ScrambleSet


def inspected_of(inspection: Inspection | None) -> Inspected:
    """What is known of an inspection; of none, nothing."""
    if inspection is None:
        return UNTIMED
    return inspected(
        timed=inspection.chosen == Inspects.TIMED,
        begun_at=inspection.begun_at,
        begun_trip=inspection.begun_trip,
        ended_at=inspection.ended_at,
        ended_trip=inspection.ended_trip,
        second_look=inspection.looked_again_at is not None,
    )


def is_out_of_time(scramble_set: ScrambleSet, inspection: Inspection | None) -> bool:
    """Whether a plan counts the cap by how its scramble was inspected."""
    return charges_the_cap(scramble_set.timing, inspected_of(inspection))
