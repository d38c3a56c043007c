"""What a file of :mod:`solverworker.techniques.definitions` holds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from solverworker.techniques.trace import Bytes, Numbers, Trace

Kernel = Callable[[Bytes, Bytes, Numbers, Numbers, Numbers, int, int], int]


@dataclass(frozen=True, slots=True)
class Technique:
    """The exact side of an idea; its code is the name of its file.

    ``definition``: what it is, in the words of
    :mod:`solverworker.techniques.trace`. ``example``: a scramble of the yellow
    cross and a shortest solution that uses this technique alone. ``where``: the
    turns of a trace (their places) in which it happens, straight from the
    definition; none when the sequence does not use it. ``kernel``: the same on
    arrays, each turn a bit (:func:`~solverworker.techniques.trace.turn_bit`).
    """

    definition: str
    example: tuple[str, str]
    where: Callable[[Trace], frozenset[int]]
    kernel: Kernel
