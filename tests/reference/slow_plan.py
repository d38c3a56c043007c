"""Checking a plan the long way round, on a cube of numbered stickers."""

from __future__ import annotations

from tests.reference import cross_graph
from tests.reference.numbered_cube import (
    CENTRES,
    EDGE_STICKERS,
    Permutation,
    follow,
    then,
    turn_of,
)

HOME_FACE = {
    "white": "U", "yellow": "D", "green": "F", "blue": "B", "red": "R", "orange": "L",
}  # fmt: skip
"""White up, green in front (WCA 4d1)."""

WAYS_DOWN = ("", "x", "x2", "x'", "z", "z'")


def cross_state(cube: Permutation, colour: str) -> tuple[int, int, int, int]:
    """Return where the colour's stickers are, in a hold with its centre at the bottom.

    ``cube``: where each sticker is. Each of the four edges is told by the
    centre beside which it belongs.
    """
    home = HOME_FACE[colour]
    for rotation in WAYS_DOWN:
        turned = then(cube, follow(rotation))
        if turned[CENTRES[home]] == CENTRES["D"]:
            break
    else:
        raise AssertionError("no rotation brings the centre down")
    face_at = {place: face for face, place in CENTRES.items()}
    where = {}
    for face in "URFDLB":
        place = face_at[turned[CENTRES[face]]]
        if place in "FRBL":
            where[place] = turned[EDGE_STICKERS[home, face]]
    return (where["F"], where["R"], where["B"], where["L"])


def distances_along(scramble: str, plan: str) -> dict[str, list[int]]:
    """Return each colour's distance after the scramble and after each token of a plan.

    Both texts in canonical tokens with blanks between.
    """
    cube = follow(scramble)
    cubes = [cube]
    for token in plan.split():
        cube = then(cube, turn_of(token))
        cubes.append(cube)
    return {
        colour: [cross_graph.distance(cross_state(each, colour)) for each in cubes]
        for colour in HOME_FACE
    }
