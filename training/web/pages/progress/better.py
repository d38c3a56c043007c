"""What a member does better than before, with what it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from training.selectors.improvements import Improved
from training.web.saying.improving import change_name, change_words, looked_words


@dataclass(frozen=True, slots=True)
class BetterShown:
    """What improved, each with its evidence; ``looked``: which weeks, and how sure it is.

    ``exactly``: the evidence in exact numbers, where the lines have plain ones.
    """

    lines: tuple[tuple[str, str], ...]
    exactly: tuple[str, ...]
    looked: str


def show_better(
    found: Sequence[Improved], member: int, today: date, *, plainly: bool
) -> BetterShown | None:
    """Lay out one member's of the club's improvements; None where there is none."""
    own = [one for one in found if one.membership_id == member]
    if not own:
        return None
    return BetterShown(
        lines=tuple(
            (change_name(one.change), change_words(one.change, own=plainly)) for one in own
        ),
        exactly=tuple(change_words(one.change) for one in own) if plainly else (),
        looked=looked_words(own[0].monday, today),
    )
