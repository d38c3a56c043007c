"""Step aside: a finished edge leaves the bottom and returns, to let something through."""

from __future__ import annotations

from typing import Final

from solverworker.causes.kinds import Happening, Idea, Phrase
from solverworker.tongue import gettext_noop as _

BEGINS: Final = _("With this step aside {edge} only makes room: it comes back with {move}")
BRIEF: Final = _("That is a step aside, until {move}")


def phrases(turn: Happening) -> list[Phrase]:
    """Say of each edge that leaves which turn puts it back."""
    return [
        Phrase(BEGINS, edge=moved.edge, move=back, brief=BRIEF)
        for moved in turn.beat.moved
        if moved.leaves and (back := turn.story.put_back_by(moved.edge, turn.index))
    ]


IDEA: Final = Idea(
    code="step_aside",
    order=4,
    rarely_called=True,
    name=_("step aside"),
    meaning=_(
        "A finished edge leaves the bottom for a moment to let something through, and returns."
    ),
    example=_("Green is lifted out, the bottom turns freely, and green goes back."),
    phrases=phrases,
)
