"""What a plan leaves for the first pair, by trying every way on a cube of numbered stickers.

Everything is looked at with the cross colour at the bottom: a scramble and a
plan are rewritten letter by letter until it is, and once more for each slot
until it is front right. Ways come from plain recursion, distances of pairs
from meeting in the middle. Shares no code with the solver.
"""

from __future__ import annotations

from functools import cache

from tests.reference import pair_search
from tests.reference.cross_graph import (
    FACE_TURNS,
    HOMES,
    distances,
    index_of_state,
    neighbours,
    representative,
)
from tests.reference.numbered_cube import follow

TO_BOTTOM = {
    "yellow": "URFDLB",
    "white": "DLFURB",  # after z2: the letter under which each of U R F D L B is then written
    "green": "FRDBLU",  # after x'
    "blue": "BRUFLD",  # after x
    "red": "RDFLUB",  # after z
    "orange": "LUFRDB",  # after z'
}
ONCE_ABOUT = "UFLDBR"
"""After y, which brings the right side to the front: R is then written F."""


def rewritten(text: str, letters: str) -> str:
    """Return turns as they are written after a rotation of the whole cube."""
    return text.translate(str.maketrans("URFDLB", letters))


def seen(text: str, colour: str) -> str:
    """Return turns of a cube held white up, green in front, with a colour at the bottom."""
    return rewritten(text, TO_BOTTOM[colour])


@cache
def _far(state: tuple[int, ...]) -> int:
    return pair_search.distance(state)


def left_after(turns: str) -> int:
    """Return how far the nearest of the four pairs is; turns seen with the cross at the bottom."""
    found = []
    for _ in range(4):
        found.append(_far(pair_search.state_after(follow(turns))))
        turns = rewritten(turns, ONCE_ABOUT)
    return min(found)


def ways(turns: str, length: int) -> set[tuple[str, ...]]:
    """Return every way of a length to the cross after turns, one of each class."""
    cube = follow(turns)
    step, far = neighbours(), distances()
    found: set[tuple[str, ...]] = set()

    def go_on(index: int, path: tuple[str, ...]) -> None:
        if len(path) == length:
            found.add(representative(path))
            return
        for name in FACE_TURNS:
            if _turns_a_face_twice(path, name):
                continue
            after = int(step[name][index])
            if far[after] <= length - len(path) - 1:
                go_on(after, (*path, name))

    if far[index_of_state()[tuple(cube[home] for home in HOMES)]] <= length:
        go_on(index_of_state()[tuple(cube[home] for home in HOMES)], ())
    return found


def _turns_a_face_twice(path: tuple[str, ...], name: str) -> bool:
    """Whether a turn could be joined with an earlier one, past a turn of the opposite face."""
    opposite = {"U": "D", "D": "U", "R": "L", "L": "R", "F": "B", "B": "F"}
    if path and path[-1][0] == name[0]:
        return True
    return len(path) > 1 and path[-2][0] == name[0] and path[-1][0] == opposite[name[0]]


def least_left(turns: str, length: int) -> int:
    """Return the least that any way of a length to the cross leaves."""
    return min(left_after(" ".join([turns, *way])) for way in ways(turns, length))
