"""A cube of numbered stickers, built on the generators that SymPy publishes.

``sympy.combinatorics.generators.rubik_cube_generators`` gives the six face
turns as permutations of 48 stickers, numbered as in the worked example of the
GAP system (https://www.gap-system.org/Doc/Examples/rubik.html)::

                +--------------+
                |  1    2    3 |
                |  4  top    5 |
                |  6    7    8 |
 +--------------+--------------+--------------+--------------+
 |  9   10   11 | 17   18   19 | 25   26   27 | 33   34   35 |
 | 12  left  13 | 20 front  21 | 28 right  29 | 36  rear  37 |
 | 14   15   16 | 22   23   24 | 30   31   32 | 38   39   40 |
 +--------------+--------------+--------------+--------------+
                | 41   42   43 |
                | 44 bottom 45 |
                | 46   47   48 |
                +--------------+

The three slices and the centres (49 U, 50 L, 51 F, 52 R, 53 B, 54 D) are
added by hand from the same picture. Wide turns are a face with the slice
beside it; rotations are a face, a slice and the opposite face. A permutation
maps the place where a sticker is to the place where it goes.
"""

from __future__ import annotations

from functools import cache, lru_cache

from sympy.combinatorics.generators import rubik_cube_generators

CENTRES = {"U": 49, "L": 50, "F": 51, "R": 52, "B": 53, "D": 54}

Permutation = dict[int, int]


def _identity() -> Permutation:
    return {place: place for place in range(1, 55)}


def _from_cycles(*cycles: tuple[int, ...]) -> Permutation:
    result = _identity()
    for cycle in cycles:
        for index, place in enumerate(cycle):
            result[place] = cycle[(index + 1) % len(cycle)]
    return result


def then(*permutations: Permutation) -> Permutation:
    """Return the permutation that does the given ones one after another."""
    result = _identity()
    for permutation in permutations:
        result = {start: permutation[goal] for start, goal in result.items()}
    return result


def _quarter_turns() -> dict[str, Permutation]:
    turns: dict[str, Permutation] = {}
    for face, generator in zip("ULFRBD", rubik_cube_generators(), strict=True):
        turn = _identity()
        for place in range(48):
            turn[place + 1] = generator(place) + 1
        turns[face] = turn
    turns["M"] = _from_cycles((2, 18, 42, 39), (7, 23, 47, 34), (49, 51, 54, 53))
    turns["E"] = _from_cycles((12, 20, 28, 36), (13, 21, 29, 37), (50, 51, 52, 53))
    turns["S"] = _from_cycles((4, 26, 45, 15), (5, 31, 44, 10), (49, 52, 54, 50))

    def back(name: str) -> Permutation:
        return then(*[turns[name]] * 3)

    turns["x"] = then(turns["R"], back("M"), back("L"))
    turns["y"] = then(turns["U"], back("E"), back("D"))
    turns["z"] = then(turns["F"], turns["S"], back("B"))
    turns["Rw"] = then(turns["R"], back("M"))
    turns["Lw"] = then(turns["L"], turns["M"])
    turns["Uw"] = then(turns["U"], back("E"))
    turns["Dw"] = then(turns["D"], turns["E"])
    turns["Fw"] = then(turns["F"], turns["S"])
    turns["Bw"] = then(turns["B"], back("S"))
    return turns


QUARTER_TURNS = _quarter_turns()
"""Each family's clockwise quarter turn."""


@cache
def turn_of(token: str) -> Permutation:
    """Return the permutation of a canonical token such as ``Rw'`` or ``M2``: not to be changed."""
    family = token.rstrip("'2")
    times = {"": 1, "2": 2, "'": 3}[token[len(family) :]]
    return then(*[QUARTER_TURNS[family]] * times)


@lru_cache(maxsize=1024)
def follow(text: str) -> Permutation:
    """Return where each sticker of a solved cube is after canonical tokens: not to be changed."""
    return then(*[turn_of(token) for token in text.split()])


FACE_OF_PLACE: dict[int, str] = {
    **{place: "ULFRBD"[(place - 1) // 8] for place in range(1, 49)},
    **{place: face for face, place in CENTRES.items()},
}

EDGE_STICKERS: dict[tuple[str, str], int] = {
    ("U", "F"): 7, ("F", "U"): 18, ("U", "R"): 5, ("R", "U"): 26,
    ("U", "B"): 2, ("B", "U"): 34, ("U", "L"): 4, ("L", "U"): 10,
    ("F", "R"): 21, ("R", "F"): 28, ("F", "L"): 20, ("L", "F"): 13,
    ("B", "R"): 36, ("R", "B"): 29, ("B", "L"): 37, ("L", "B"): 12,
    ("D", "F"): 42, ("F", "D"): 23, ("D", "R"): 45, ("R", "D"): 31,
    ("D", "B"): 47, ("B", "D"): 39, ("D", "L"): 44, ("L", "D"): 15,
}  # fmt: skip
"""The place on the first face of the edge between two faces."""
