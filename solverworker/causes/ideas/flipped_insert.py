"""Flipped-edge insert: a finished edge goes out, a flipped one slips in, the first comes back."""

from __future__ import annotations

from typing import Final

from solverworker.causes.kinds import Happening, Idea, Phrase
from solverworker.tongue import gettext_noop as _

BEGINS: Final = _("A flipped-edge insert begins: now there is room")
ENDS: Final = _("That completes the flipped-edge insert")
BEGINS_BRIEF: Final = _("A flipped-edge insert begins")


def phrases(turn: Happening) -> list[Phrase]:
    """Say when it begins and when it ends."""
    found = []
    if any(moved.leaves for moved in turn.beat.moved):
        found.append(Phrase(BEGINS, brief=BEGINS_BRIEF))
    if any(moved.returns for moved in turn.beat.moved):
        found.append(Phrase(ENDS))
    return found


IDEA: Final = Idea(
    code="flipped_insert",
    order=3,
    rarely_called=True,
    name=_("flipped-edge insert"),
    meaning=_(
        "A finished edge is lifted out, an edge that lay the wrong way round slips in beside "
        "it, and the first one comes back."
    ),
    example=_("Red goes up, blue slips in from the side, and red comes down again."),
    phrases=phrases,
)
