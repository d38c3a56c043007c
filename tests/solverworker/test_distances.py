"""Every distance of the 190,080 crosses, against SciPy's graph search.

The graph is built on SymPy's generators (``tests/reference/cross_graph.py``)
and shares no code with the table under test.
"""

import json
from pathlib import Path

import numpy as np
import pytest

from solverworker.cube.cross import (
    SOLVED,
    STATE_COUNT,
    after,
    code,
    edges_home,
    rank,
    state_of_code,
    turned,
    unrank,
)
from solverworker.cube.pieces import EDGE_PLACES
from solverworker.cube.turns import TURN_NAMES
from solverworker.search.cross import (
    MAX_DISTANCE,
    MAX_SOLUTIONS,
    codes,
    distance,
    distance_table,
    shortest_solutions,
    tables,
)
from solverworker.search.cross_kernels import fill_solutions
from tests.reference import cross_graph
from tests.reference.numbered_cube import EDGE_STICKERS

COUNTS = json.loads((Path(__file__).parents[1] / "data" / "cross_counts.json").read_text("utf-8"))

# Our edge state (place, lie) as the numbered sticker place on the face there.
STICKER = [EDGE_STICKERS[name[lie], name[1 - lie]] for name in EDGE_PLACES for lie in (0, 1)]


def reference_state(state):
    return tuple(STICKER[edge] for edge in state)


def test_the_counts_by_distance_are_the_published_ones():
    counts = np.bincount(distance_table())
    assert counts.tolist() == COUNTS["face_turns"]
    assert counts.sum() == STATE_COUNT == 12 * 11 * 10 * 9 * 2**4
    assert np.average(np.arange(9), weights=counts) == pytest.approx(5.8121, abs=5e-5)


def test_the_reference_counts_quarter_turns_as_published_too():
    quarter_turns = tuple(name for name in cross_graph.FACE_TURNS if not name.endswith("2"))
    found = np.bincount(cross_graph.distances(quarter_turns))
    assert found.tolist() == COUNTS["quarter_turns"]


def test_every_distance_is_that_of_scipys_graph_search():
    table = distance_table()
    index = cross_graph.index_of_state()
    expected = cross_graph.distances()
    order = [index[reference_state(unrank(number))] for number in range(STATE_COUNT)]
    assert len(set(order)) == STATE_COUNT
    assert np.array_equal(table, expected[order])
    assert table.max() == MAX_DISTANCE


def test_every_turn_of_every_state_is_the_references():
    index = cross_graph.index_of_state()
    sample = range(0, STATE_COUNT, 97)
    for turn, name in enumerate(TURN_NAMES):
        step = cross_graph.neighbours()[name]
        for number in sample:
            state = unrank(number)
            assert (
                step[index[reference_state(state)]] == index[reference_state(turned(state, turn))]
            )


def test_ranks_and_codes_number_the_states_without_doubt():
    for number in range(0, STATE_COUNT, 61):
        state = unrank(number)
        assert rank(state) == number
        assert code(state) == codes()[number]
        assert state_of_code(code(state)) == state
    assert len(np.unique(codes())) == STATE_COUNT
    assert np.all(np.diff(codes()[::16]) > 0)
    # Nowhere else is a distance: a code without a state is marked as such.
    assert np.count_nonzero(tables().distances != 255) == STATE_COUNT


@pytest.mark.parametrize("number", [-1, STATE_COUNT])
def test_a_rank_outside_is_refused(number):
    with pytest.raises(ValueError, match="190079"):
        unrank(number)


@pytest.mark.parametrize("state", [(0, 0, 2, 4), (0, 1, 2, 4), (16, 18, 20, 24), (-1, 2, 4, 6)])
def test_what_is_no_state_is_refused(state):
    with pytest.raises(ValueError, match="not a cross state"):
        distance(state)


def test_edges_home_counts_place_and_flip():
    assert edges_home(SOLVED) == 4
    assert edges_home(after([0])) == 4
    assert edges_home(after([9])) == 0
    assert edges_home((17, 18, 20, 22)) == 3


def test_every_shortest_solution_is_found_once_in_canonical_form():
    generator = np.random.default_rng(8)
    far = [int(n) for n in np.flatnonzero(distance_table() == 8)[::20]]
    for number in [*generator.integers(STATE_COUNT, size=60).tolist(), *far]:
        state = unrank(number)
        found = [tuple(TURN_NAMES[turn] for turn in turns) for turns in shortest_solutions(state)]
        assert set(found) == cross_graph.shortest(reference_state(state))
        assert len(set(found)) == len(found)
        assert found == sorted(found, key=" ".join)
        assert all(len(turns) == distance(state) for turns in found)


def test_a_solved_cross_has_one_solution_with_no_turns():
    assert shortest_solutions(SOLVED) == [()]


def test_no_state_has_more_solutions_than_there_is_room_for():
    held = tables()
    no_room = np.empty((0, 8), dtype=np.uint8)
    counts = np.array(
        [
            fill_solutions(
                held.pair_turns, held.descents, int(number), int(held.distances[number]), no_room
            )
            for number in codes()
        ]
    )
    assert counts.max() == MAX_SOLUTIONS
    # About 10.6 a state on average, 5 in the middle: counted by a slow program
    # straight from the definitions.
    assert counts.mean() == pytest.approx(10.6, abs=0.05)
    assert np.median(counts) == 5
    state = unrank(int(counts.argmax()))
    found = {tuple(TURN_NAMES[turn] for turn in turns) for turns in shortest_solutions(state)}
    assert found == cross_graph.shortest(reference_state(state))
    assert len(found) == MAX_SOLUTIONS
