"""Techniques the long way round: one file a technique, found by itself.

Each is written from the definition anew: ``used`` says whether a sequence uses
it, ``CALLED_FOR`` the share of all crosses that cannot be solved shortest
without it, to as many digits as are written, from a slow program of its own.
"""

from __future__ import annotations

import importlib
import pkgutil
from types import ModuleType

from tests.reference.slow_sequence import Sequence

TWINS: dict[str, ModuleType] = {
    found.name: importlib.import_module(f"{__name__}.{found.name}")
    for found in pkgutil.iter_modules(__path__)
}


def techniques(state: tuple[int, ...], turns: list[str]) -> set[str]:
    """Return the techniques that turns (by name), which must solve the state, use."""
    sequence = Sequence(state, turns)
    return {code for code, twin in TWINS.items() if twin.used(sequence)}
