"""The graph of cross states, searched by SciPy.

A state is where the four bottom stickers of the bottom edges are: four of the
24 edge places of :mod:`tests.reference.numbered_cube`, no two on one piece.
"""

from __future__ import annotations

from functools import cache
from itertools import product

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import shortest_path

from tests.reference.numbered_cube import EDGE_STICKERS, QUARTER_TURNS, then

PLACES = sorted(EDGE_STICKERS.values())
PIECE = {
    place: frozenset((place, EDGE_STICKERS[pair[::-1]])) for pair, place in EDGE_STICKERS.items()
}
HOMES = tuple(EDGE_STICKERS["D", side] for side in "FRBL")

FACE_TURNS = {
    face + suffix: then(*[QUARTER_TURNS[face]] * times)
    for face in "URFDLB"
    for suffix, times in (("", 1), ("2", 2), ("'", 3))
}
"""The 18 face turns by name."""


@cache
def states() -> list[tuple[int, int, int, int]]:
    """List all 190,080 states."""
    return [
        (a, b, c, d)
        for a, b, c, d in product(PLACES, repeat=4)
        if len({PIECE[a], PIECE[b], PIECE[c], PIECE[d]}) == 4
    ]


@cache
def index_of_state() -> dict[tuple[int, int, int, int], int]:
    """Return the place of each state in :func:`states`."""
    return {state: index for index, state in enumerate(states())}


@cache
def neighbours() -> dict[str, np.ndarray]:
    """Return, for each turn, the index of the state after it: int64, 190,080."""
    table = np.array(states())
    number = np.full(49, -1)
    number[PLACES] = np.arange(24)
    weights = 24 ** np.arange(4)

    keys = number[table] @ weights
    index = np.full(24**4, -1)
    index[keys] = np.arange(len(keys))
    result = {}
    for name, turn in FACE_TURNS.items():
        goal = np.array([turn.get(place, 0) for place in range(49)])
        result[name] = index[number[goal[table]] @ weights]
    return result


@cache
def distances(names: tuple[str, ...] = tuple(FACE_TURNS)) -> np.ndarray:
    """Return the distance of every state from the solved one, by SciPy's graph search."""
    goals = np.concatenate([neighbours()[name] for name in names])
    size = len(states())
    starts = np.tile(np.arange(size), len(names))
    graph = csr_array((np.ones(len(goals), dtype=np.int8), (starts, goals)), shape=(size, size))
    found = shortest_path(graph, method="D", unweighted=True, indices=index_of_state()[HOMES])
    return found.astype(np.int64)


def distance(state: tuple[int, int, int, int]) -> int:
    """Return the distance of a state."""
    return int(distances()[index_of_state()[state]])


def shortest(state: tuple[int, int, int, int]) -> set[tuple[str, ...]]:
    """Return every shortest solution, each as the one representative of its class.

    Plain recursion over all descending turns; sequences that differ by
    swapping neighbouring turns of opposite faces fall together.
    """
    step = neighbours()
    far = distances()
    found: set[tuple[str, ...]] = set()

    def descend(index: int, path: tuple[str, ...]) -> None:
        if far[index] == 0:
            found.add(representative(path))
        for name in FACE_TURNS:
            after = int(step[name][index])
            if far[after] == far[index] - 1:
                descend(after, (*path, name))

    descend(index_of_state()[state], ())
    return found


def representative(path: tuple[str, ...]) -> tuple[str, ...]:
    """Sort neighbouring turns of opposite faces: U before D, R before L, F before B."""
    turns = list(path)
    for first in range(len(turns) - 1):
        if turns[first][0] + turns[first + 1][0] in ("DU", "LR", "BF"):
            turns[first], turns[first + 1] = turns[first + 1], turns[first]
    return tuple(turns)
