"""Cross and pair by meeting in the middle, on a cube of numbered stickers.

A state is six sticker places: the four bottom stickers of the cross, and one
sticker each of the front right pair's corner and edge. All states within five
turns of home are listed once; from a given state turns are tried until one of
them is met. Shares no code with the solver.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from tests.reference.cross_graph import FACE_TURNS, HOMES
from tests.reference.numbered_cube import EDGE_STICKERS, Permutation

CORNER_HOME = 43
"""The bottom sticker of the corner between front, right and bottom."""

HOME = (*HOMES, CORNER_HOME, EDGE_STICKERS["F", "R"])

_TURNS = np.array([[turn.get(place, 0) for place in range(49)] for turn in FACE_TURNS.values()])
_KEYS = 49 ** np.arange(6, dtype=np.int64)


def state_after(cube: Permutation) -> tuple[int, ...]:
    """Return the state of a cube, told as where each sticker is."""
    return tuple(cube[place] for place in HOME)


def _around(states: np.ndarray) -> np.ndarray:
    """Return every different state one turn away from some states: rows of six places."""
    reached = _TURNS[:, states].reshape(-1, 6)
    _, first = np.unique(reached @ _KEYS, return_index=True)
    return reached[first]


@cache
def ball() -> list[np.ndarray]:
    """Return, for 0 to 5 turns, the sorted keys of the states that so many turns reach."""
    states = np.array([HOME])
    found = [states @ _KEYS]
    for _ in range(5):
        states = _around(states)
        found.append(np.sort(states @ _KEYS))
    return found


def _meets(keys: np.ndarray, near: int) -> bool:
    """Whether any of some states lies in the ball of so many turns."""
    sorted_keys = ball()[near]
    at = np.minimum(np.searchsorted(sorted_keys, keys), len(sorted_keys) - 1)
    return bool((sorted_keys[at] == keys).any())


def distance(state: tuple[int, ...]) -> int:
    """Return the least number of face turns that bring a state home."""
    states = np.array([state])
    for near in range(6):
        if _meets(states @ _KEYS, near):
            return near
    for forward in range(1, 6):
        # The last turn needs no list without doubles: only its keys are looked up.
        reached = _TURNS[:, states].reshape(-1, 6)
        if _meets(reached @ _KEYS, 5):
            return forward + 5
        _, first = np.unique(reached @ _KEYS, return_index=True)
        states = reached[first]
    raise AssertionError("no state needs more than ten turns")
