"""Chance: whole numbers and whole-cube states, from a seed or from the system.

The seeded source is a counter stream: block ``n`` is SHA-256 (FIPS 180-4) of
the seed's UTF-8 bytes, a zero byte and ``n`` in eight bytes, the high one
first. So a seed gives the same numbers on every machine and in every version
of Python, and nobody can tell the next number without the seed.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import MutableSequence
from typing import Any, Protocol

from solverworker.cube.pieces import CORNER_PLACES, EDGE_PLACES
from solverworker.cube.whole import SOLVED_CUBE, Cube, is_odd, turned


class Source(Protocol):
    """A source of whole numbers, such as ``random.Random`` or a :class:`Stream`."""

    def randrange(self, stop: int, /) -> int:
        """Return a whole number from 0 up to, not including, ``stop``."""
        ...


class Stream:
    """The numbers that a seed gives.

    >>> one, other = Stream("lantern"), Stream("lantern")
    >>> [one.randrange(100) for _ in range(5)] == [other.randrange(100) for _ in range(5)]
    True
    """

    def __init__(self, seed: str) -> None:
        self._start = hashlib.sha256(seed.encode() + b"\0")
        self._counter = 0
        self._block = b""

    def randrange(self, stop: int, /) -> int:
        """Return a whole number below ``stop`` (1 to 2**32), all equally likely.

        Four bytes are read as a number; those at or above the greatest
        multiple of ``stop`` are thrown away. Raises ValueError outside the range.
        """
        if not 0 < stop <= 1 << 32:
            raise ValueError(f"A number below {stop} cannot be drawn.")
        fair = (1 << 32) // stop * stop
        while True:
            if not self._block:
                block = self._start.copy()
                block.update(self._counter.to_bytes(8, "big"))
                self._block = block.digest()
                self._counter += 1
            number = int.from_bytes(self._block[:4], "big")
            self._block = self._block[4:]
            if number < fair:
                return number % stop


def new_seed() -> str:
    """Return a fresh seed from the system's secure source: 32 letters and digits, 128 bits."""
    return secrets.token_hex(16)


def shuffle(items: MutableSequence[Any], source: Source) -> None:
    """Put items into an order, all orders equally likely (Fisher and Yates; Durstenfeld 1964)."""
    for last in range(len(items) - 1, 0, -1):
        chosen = source.randrange(last + 1)
        items[last], items[chosen] = items[chosen], items[last]


def random_cube(source: Source) -> Cube:
    """Return a state of the whole cube, uniform over all that need at least two turns (WCA 4b3).

    >>> random_cube(Stream("lantern")).is_legal
    True
    """
    while True:
        cube = complete({}, source)
        if needs_two_turns(cube):
            return cube


def complete(edges: dict[int, int], source: Source) -> Cube:
    """Return a state of the whole cube, uniform over all legal ones with some edges given.

    ``edges``: edge states (0 to 23) by edge; they must leave two edges free,
    and no two may share a place. Raises ValueError.
    """
    taken = {state // 2 for state in edges.values()}
    if len(taken) < len(edges) or len(edges) > len(EDGE_PLACES) - 2:
        raise ValueError("These edges cannot be completed to a cube.")
    edge_states = [edges.get(edge, -1) for edge in range(len(EDGE_PLACES))]
    free = [edge for edge in range(len(EDGE_PLACES)) if edge not in edges]
    places = [place for place in range(len(EDGE_PLACES)) if place not in taken]
    shuffle(places, source)
    corners = list(range(len(CORNER_PLACES)))
    shuffle(corners, source)
    for edge, place in zip(free, places, strict=True):
        edge_states[edge] = 2 * place
    if is_odd([state // 2 for state in edge_states]) != is_odd(corners):
        # One swap pairs the orders of wrong parity off with those of right
        # parity, so all right ones stay equally likely.
        one, two = free[0], free[1]
        edge_states[one], edge_states[two] = edge_states[two], edge_states[one]
    for edge in free[:-1]:
        edge_states[edge] += source.randrange(2)
    edge_states[free[-1]] += sum(state % 2 for state in edge_states) % 2
    twists = [source.randrange(3) for _ in corners[:-1]]
    twists.append(-sum(twists) % 3)
    corner_states = [3 * place + twist for place, twist in zip(corners, twists, strict=True)]
    return Cube(tuple(edge_states), tuple(corner_states))


_ONE_TURN = {SOLVED_CUBE, *(turned(SOLVED_CUBE, turn) for turn in range(18))}


def needs_two_turns(cube: Cube) -> bool:
    """Whether a state is neither solved nor one face turn away from it (WCA 4b3)."""
    return cube not in _ONE_TURN
