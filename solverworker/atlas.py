"""The atlas: what is known of each of the 190,080 crosses. Read with numpy alone.

For each cross state, by rank: its distance, the number of its shortest
solutions in canonical form, and for each technique whether some and whether
every shortest solution uses it. The file is made by
:mod:`solverworker.techniques.atlas_maker`; here it is only read.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from solverworker.cube.cross import STATE_COUNT, CrossState, rank
from solverworker.sources import behind, digest
from solverworker.tablefile import Table, TableFileError, read

NAME: Final = "atlas"


@cache
def version() -> str:
    """Return a digest of the sources from which an atlas is made."""
    return digest(behind("solverworker.techniques.atlas_maker"))


@dataclass(frozen=True, slots=True)
class AtlasEntry:
    """What is known of one cross.

    ``distance``: face turns; ``count``: shortest solutions in canonical form;
    ``some``, ``every``: codes of the techniques that some, that every
    shortest solution uses.
    """

    distance: int
    count: int
    some: frozenset[str]
    every: frozenset[str]


class Atlas:
    """All crosses, as arrays by rank (read-only, 190,080 each).

    ``techniques``: their codes; a technique's place is its bit in the masks.
    ``distance``: uint8; ``count``: uint16; ``some``, ``every``: uint8 masks.
    """

    def __init__(self, table: Table) -> None:
        self.techniques: tuple[str, ...] = tuple(bytes(table["techniques"]).decode().split())
        self.distance: npt.NDArray[np.uint8] = table["distance"]
        self.count: npt.NDArray[np.uint16] = table["count"]
        self.some: npt.NDArray[np.uint8] = table["some"]
        self.every: npt.NDArray[np.uint8] = table["every"]

    def entry(self, state: CrossState) -> AtlasEntry:
        """Return what is known of a state (cross colour at the bottom)."""
        number = rank(state)
        return AtlasEntry(
            int(self.distance[number]),
            int(self.count[number]),
            self._codes(int(self.some[number])),
            self._codes(int(self.every[number])),
        )

    def mask(self, codes: Iterable[str]) -> int:
        """Return the mask of some techniques. Raises ValueError for an unknown code."""
        return sum(1 << self.techniques.index(code) for code in set(codes))

    def _codes(self, mask: int) -> frozenset[str]:
        return frozenset(code for bit, code in enumerate(self.techniques) if mask >> bit & 1)

    @cached_property
    def figures(self) -> dict[str, Any]:
        """The atlas in figures, ready for JSON.

        ``states``, ``solutions`` (in all), ``unique`` (states with one
        solution), ``max_count``, ``mean_distance``, ``by_distance``,
        ``some`` and ``every`` (states by technique).
        """
        counts = self.count.astype(np.int64)
        return {
            "states": len(counts),
            "solutions": int(counts.sum()),
            "unique": int((counts == 1).sum()),
            "max_count": int(counts.max()),
            "mean_distance": round(float(self.distance.mean()), 4),
            "by_distance": {
                str(distance): {
                    "states": int((self.distance == distance).sum()),
                    "solutions": int(counts[self.distance == distance].sum()),
                }
                for distance in range(int(self.distance.max()) + 1)
            },
            "some": self._states_by_technique(self.some),
            "every": self._states_by_technique(self.every),
        }

    def _states_by_technique(self, masks: npt.NDArray[np.uint8]) -> dict[str, int]:
        return {
            code: int(np.count_nonzero(masks & (1 << bit)))
            for bit, code in enumerate(self.techniques)
        }


_held: list[Atlas] = []


def atlas() -> Atlas | None:
    """Return the atlas, mapped from its file; None while a worker has yet to make it."""
    if not _held:
        try:
            table = read(NAME, version())
        except TableFileError:
            return None
        hold(table)
    return _held[0]


def hold(table: Table) -> Atlas:
    """Take a table as this process's atlas. Raises ValueError when it is not of every state."""
    if len(table["distance"]) != STATE_COUNT:
        raise ValueError("This is not an atlas of all crosses.")
    _held[:] = [Atlas(table)]
    return _held[0]
