"""Shared turn."""

from __future__ import annotations

from tests.reference.slow_sequence import Sequence, needs

CALLED_FOR = "0.54"


def used(sequence: Sequence) -> bool:
    """Whether a turn other than D lowers the need of two edges at once."""
    return any(
        turn.face != "D"
        and sum(needs()[a] < needs()[b] for b, a in zip(turn.before, turn.after, strict=True)) > 1
        for turn in sequence.turned
    )
