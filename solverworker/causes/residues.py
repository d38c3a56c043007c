"""What moves are lost to when no idea was missed."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from solverworker.causes.kinds import Residue
from solverworker.tongue import gettext_noop as _

UNDONE: Final = Residue(
    code="undone_moves",
    name=_("undone moves"),
    meaning=_("A move is taken back later, or two moves do the work of one."),
    example=_("R and then R again is R2, one move instead of two."),
)

SPARE_BASE: Final = Residue(
    code="spare_base_moves",
    name=_("spare turns of the bottom"),
    meaning=_("The ideas were right, but the bottom turns more often than they need."),
    example=_("The bottom turns one way and back again, where it could have stayed."),
)

SPARE_TOP: Final = Residue(
    code="spare_top_moves",
    name=_("spare turns of the top"),
    meaning=_("The ideas were right, but the top turns more often than they need."),
    example=_("The top brings an edge round that could have gone in where it was."),
)

SPARE_SIDES: Final = Residue(
    code="spare_side_moves",
    name=_("spare turns of the sides"),
    meaning=_("The ideas were right, but the sides turn more often than they need."),
    example=_("An edge takes two turns where one would have done."),
)

COLOUR_CHOICE: Final = Residue(
    code="colour_choice",
    name=_("choice of colour"),
    meaning=_("Another allowed colour was nearer."),
    example=_("White needs six moves and yellow five, and the plan is for white."),
    wasted=False,
)

RESIDUES: Final[Mapping[str, Residue]] = MappingProxyType(
    {
        residue.code: residue
        for residue in (UNDONE, SPARE_BASE, SPARE_TOP, SPARE_SIDES, COLOUR_CHOICE)
    }
)
"""The residues by code, in the order in which they are told."""

SPARE: Final = (SPARE_BASE.code, SPARE_TOP.code, SPARE_SIDES.code)
"""The codes of spare turns, by what is turned: the bottom, the top, the sides."""
