"""Flipped-edge insert."""

from __future__ import annotations

from tests.reference.slow_sequence import Sequence

CALLED_FOR = "0.001"


def used(sequence: Sequence) -> bool:
    """Whether an edge goes out and comes back, and room was made between."""
    return any(sequence.out_and_back())
