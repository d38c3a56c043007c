"""The group of the cube, against SymPy and textbook facts.

Sources: generators and Schreier-Sims of ``sympy.combinatorics``; the order
of the group and of elements: Singmaster, Notes on Rubik's Magic Cube (1981)
and common group theory, values from memory.
"""

import pytest
from sympy.combinatorics import Permutation, PermutationGroup
from sympy.combinatorics.generators import rubik_cube_generators

from solverworker.cube.cross import after as cross_after
from solverworker.cube.holds import walk
from solverworker.cube.notation import parse
from solverworker.cube.stickers import SOURCES
from solverworker.cube.turns import TURN_NAMES, TURN_NUMBERS, inverse
from solverworker.cube.whole import SOLVED_CUBE, after, faces_of_stickers

# SymPy numbers 48 stickers face by face in the order U L F R B D, centres left
# out; ours are 54 in the order U R F D L B.
OURS_OF_SYMPY = [
    9 * "URFDLB".index(face) + cell for face in "ULFRBD" for cell in (0, 1, 2, 3, 5, 6, 7, 8)
]


def as_sympy(family: str) -> Permutation:
    """Write a quarter turn of ours as a permutation of SymPy's 48 stickers."""
    source = SOURCES[family, 1]
    place = {ours: number for number, ours in enumerate(OURS_OF_SYMPY)}
    goals = [0] * 48
    for ours in OURS_OF_SYMPY:
        goals[place[source[ours]]] = place[ours]
    return Permutation(goals)


def test_the_six_face_turns_are_sympys_generators():
    for face, generator in zip("ULFRBD", rubik_cube_generators(), strict=True):
        assert as_sympy(face) == generator, face


def test_they_generate_the_whole_group_of_the_cube():
    group = PermutationGroup([as_sympy(face) for face in "URFDLB"])
    assert group.order() == 43_252_003_274_489_856_000


@pytest.mark.parametrize(
    ("text", "order"),
    [("R U", 105), ("R U R' U'", 6), ("R U'", 63), ("R U2 D' B D'", 1260), ("R", 4)],
)
def test_elements_have_their_published_orders(text, order):
    turns = walk(parse(text)).turns
    cube = SOLVED_CUBE
    for count in range(1, order + 1):
        cube = after(turns, cube)
        assert (cube == SOLVED_CUBE) == (count == order), count


@pytest.mark.parametrize("name", TURN_NAMES)
def test_pieces_move_as_their_stickers_do(name):
    quarters = {"": 1, "2": 2, "'": 3}[name[1:]]
    cube = after([TURN_NUMBERS[name]], after(walk(parse("R U2 F' L D B2 U' R")).turns))
    before = faces_of_stickers(after(walk(parse("R U2 F' L D B2 U' R")).turns))
    source = SOURCES[name[0], quarters]
    assert faces_of_stickers(cube) == tuple(before[place] for place in source)


@pytest.mark.parametrize("name", TURN_NAMES)
def test_a_turn_and_its_inverse_cancel(name):
    turn = TURN_NUMBERS[name]
    assert after([turn, *inverse([turn])]) == SOLVED_CUBE
    assert after([turn] * 4) == SOLVED_CUBE


def test_the_cross_is_the_bottom_edges_of_the_whole_cube():
    turns = walk(parse("R U2 F' L D B2 U' R Fw M2 E S'")).turns
    assert after(turns).cross == cross_after(turns)
    assert after(turns).is_legal


def test_cubes_that_no_turns_can_make_are_told():
    edges, corners = SOLVED_CUBE
    assert SOLVED_CUBE.is_legal
    flipped = SOLVED_CUBE._replace(edges=(1, *edges[1:]))
    twisted = SOLVED_CUBE._replace(corners=(1, *corners[1:]))
    swapped = SOLVED_CUBE._replace(edges=(edges[1], edges[0], *edges[2:]))
    doubled = SOLVED_CUBE._replace(edges=(edges[1], *edges[1:]))
    both_swapped = swapped._replace(corners=(corners[1], corners[0], *corners[2:]))
    for cube in (flipped, twisted, swapped, doubled):
        assert not cube.is_legal
    assert both_swapped.is_legal
