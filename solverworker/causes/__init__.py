"""What moves can be lost to: the ideas that save them, and what is no idea.

This is the one list. An idea is added by a file in
:mod:`solverworker.causes.ideas` (its facts and its words) and one of the same
name in :mod:`solverworker.techniques.definitions` (what it is, exactly);
masks, blame, words, pages, the API and the README's table follow. Plain
Python: any process may import it.

>>> IDEAS["base_turn"].name, IDEAS["base_turn"].order
('base turn', 1)
>>> CAUSES["undone_moves"].name
'undone moves'
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from solverworker.causes import ideas
from solverworker.causes.kinds import Cause, Idea, Residue
from solverworker.causes.listing import in_order
from solverworker.causes.residues import RESIDUES

__all__ = ["CAUSES", "IDEAS", "RESIDUES", "Cause", "Idea", "Residue"]

IDEAS: Final[Mapping[str, Idea]] = MappingProxyType(
    in_order(
        {
            found.name: importlib.import_module(f"{ideas.__name__}.{found.name}")
            for found in pkgutil.iter_modules(ideas.__path__)
        },
        taken=RESIDUES,
    )
)
"""The ideas by code, in their order; the place of one is its bit in a mask."""

CAUSES: Final[Mapping[str, Cause]] = MappingProxyType({**IDEAS, **RESIDUES})
"""All codes of a blame, in the order in which they are told: ideas first."""
