"""Base turn."""

from __future__ import annotations

from tests.reference.slow_sequence import Sequence

CALLED_FOR = "0.50"


def used(sequence: Sequence) -> bool:
    """Whether D turns while one, two or three edges are settled before."""
    return any(
        turn.face == "D" and sum(m < turn.moment for m in sequence.settle) in (1, 2, 3)
        for turn in sequence.turned
    )
