"""How many shortest solutions every cross has, counted without listing them.

Walks down the graph of :mod:`tests.reference.cross_graph` layer by layer. A
solution counts once however its commuting neighbours stand: after a turn the
same face may not come again, and of two opposite faces only the one order
U D, R L, F B counts.
"""

from __future__ import annotations

import numpy as np

from tests.reference.cross_graph import FACE_TURNS, distances, neighbours

_FACES = "URFDLB"


def counts() -> np.ndarray:
    """Return the number of shortest solutions of each state: int64, as ``states()`` lists them."""
    far = distances()
    # by_face[f]: solutions that may follow a turn of face f; the last row: after no turn.
    by_face = np.zeros((7, len(far)), dtype=np.int64)
    by_face[:, far == 0] = 1
    for layer in range(1, far.max() + 1):
        here = np.flatnonzero(far == layer)
        for name in FACE_TURNS:
            face = _FACES.index(name[0])
            goal = neighbours()[name][here]
            ways = np.where(far[goal] == layer - 1, by_face[face, goal], 0)
            for before in range(7):
                if before == 6 or before not in (face, face + 3):
                    by_face[before, here] += ways
    return by_face[6]
