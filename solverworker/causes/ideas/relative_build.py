"""Relative build: edges go in right beside each other, off their centres."""

from __future__ import annotations

from typing import Final

from solverworker.causes.kinds import Happening, Idea, Phrase
from solverworker.tongue import gettext_noop as _

SIDE_BY_SIDE: Final = _(
    "That is a relative build: the two belong side by side, though not here yet"
)
ACROSS: Final = _(
    "That is a relative build: the two belong across from each other, though not here yet"
)
TOGETHER: Final = _("That is a relative build: they fit together, though not here yet")
BRIEF: Final = _("That is a relative build")


def phrases(turn: Happening) -> list[Phrase]:
    """Say how the edges that have gone in belong to each other."""
    if turn.again:
        return []
    joined = [moved.edge for moved in turn.beat.moved if moved.settles]
    there = [edge for edge in turn.beat.after if edge not in joined]
    if len(joined) == 1 and len(there) == 1:
        return [
            Phrase(ACROSS if turn.story.across(joined[0], there[0]) else SIDE_BY_SIDE, brief=BRIEF)
        ]
    return [Phrase(TOGETHER, brief=BRIEF)]


IDEA: Final = Idea(
    code="relative_build",
    order=0,
    rarely_called=False,
    name=_("relative build"),
    meaning=_(
        "Edges go in so that they fit together, although none is at its "
        "own centre. One turn of the bottom then takes them all home together."
    ),
    example=_("Green and blue go in across from each other, and the last turn brings both home."),
    phrases=phrases,
)
