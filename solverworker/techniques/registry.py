"""The register of techniques: one entry an idea, no code twice."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from solverworker.techniques.course import Bytes, Course, Numbers

Kernel = Callable[[Bytes, Bytes, Numbers, Numbers, Numbers, int, int], int]


@dataclass(frozen=True, slots=True)
class Technique:
    """An idea that saves moves.

    ``code``: its name in every report and table. ``definition``: what it is, in
    the words of :mod:`solverworker.techniques.course`. ``example``: a scramble
    of the yellow cross and a shortest solution that uses this technique alone.
    ``where``: the turns of a course (places in its steps) in which it happens,
    straight from the definition; none when the course does not use it.
    ``kernel``: the same on arrays, each turn a bit (:func:`course.turn_bit`).
    """

    code: str
    definition: str
    example: tuple[str, str]
    where: Callable[[Course], frozenset[int]]
    kernel: Kernel


class Registry(Mapping[str, Technique]):
    """Techniques by code, in the order in which they were entered.

    The place in that order is the technique's bit in a mask.
    """

    def __init__(self) -> None:
        self._entries: dict[str, Technique] = {}

    def register(self, technique: Technique) -> Technique:
        """Enter a technique. Raises ValueError when its code is taken or is no plain name."""
        if not technique.code.isidentifier():
            raise ValueError(f"`{technique.code}` is not a plain name.")
        if technique.code in self._entries:
            raise ValueError(f"There is a technique `{technique.code}` already.")
        self._entries[technique.code] = technique
        return technique

    def __getitem__(self, code: str) -> Technique:
        return self._entries[code]

    def __iter__(self) -> Iterator[str]:
        return iter(self._entries)

    def __len__(self) -> int:
        return len(self._entries)


TECHNIQUES: Final = Registry()
"""All techniques; importing :mod:`solverworker.techniques` fills it."""
