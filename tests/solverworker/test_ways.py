"""All ways of a given length, against plain recursion on the numbered cube and the solutions."""

import random

import pytest

from solverworker.cube.cross import STATE_COUNT, code, unrank
from solverworker.cube.turns import TURN_NAMES
from solverworker.search.cross import distance, solutions_of_code
from solverworker.search.ways import ways
from tests.reference import cross_graph
from tests.solverworker.test_distances import reference_state


def slow_ways(state, length):
    """Every sequence of so many turns that solves, the joined and the swapped ones left out."""
    step, far = cross_graph.neighbours(), cross_graph.distances()
    found = set()

    def go(index, path):
        if far[index] > length - len(path):
            return
        if len(path) == length:
            found.add(path)
            return
        for name in cross_graph.FACE_TURNS:
            faces = path[-1][0] + name[0] if path else ""
            if faces and (faces[0] == faces[1] or faces in ("DU", "LR", "BF")):
                continue
            go(int(step[name][index]), (*path, name))

    go(cross_graph.index_of_state()[state], ())
    return found


@pytest.mark.parametrize("over", [0, 1, 2])
def test_they_are_what_plain_recursion_finds(over):
    source = random.Random(over)
    for number in source.sample(range(STATE_COUNT), 4):
        state = unrank(number)
        length = distance(state) + over
        found = ways(code(state), length)
        names = {tuple(TURN_NAMES[turn] for turn in row) for row in found.tolist()}
        assert len(names) == len(found)
        assert names == slow_ways(reference_state(state), length)


def test_the_shortest_are_the_solutions_and_there_is_none_shorter():
    for number in random.Random(5).sample(range(STATE_COUNT), 40):
        state = unrank(number)
        length = distance(state)
        solutions = {tuple(row[:length]) for row in solutions_of_code(code(state)).tolist()}
        assert {tuple(row) for row in ways(code(state), length).tolist()} == solutions
        if length:
            assert len(ways(code(state), length - 1)) == 0


def test_the_list_is_cut_where_told():
    state = code(unrank(12345))
    assert len(ways(state, distance(unrank(12345)) + 2, most=7)) == 7
