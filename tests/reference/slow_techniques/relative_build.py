"""Relative build."""

from __future__ import annotations

from tests.reference.slow_sequence import Sequence

CALLED_FOR = "0.41"


def used(sequence: Sequence) -> bool:
    """Whether the second edge settles beside the first while both are off their centres."""
    order = sorted(sequence.settle)
    if order[0] > 0 and order[1] == order[0]:
        return sequence.off_centre(order[0])
    later = [moment for moment in order if moment > order[0]]
    return bool(later) and sequence.off_centre(order[0]) and sequence.off_centre(later[0] - 1)
