"""Step aside."""

from __future__ import annotations

from tests.reference.slow_sequence import Sequence

CALLED_FOR = "0.04"


def used(sequence: Sequence) -> bool:
    """Whether an edge goes out and comes back, and no room was made between."""
    return not all(sequence.out_and_back())
