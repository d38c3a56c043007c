"""Scrambles: uniform states, seeded, at most 22 turns that make exactly the drawn state."""

import hashlib
import json
from collections import Counter
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chisquare

from solverworker.cube.chance import Stream, complete, needs_two_turns, new_seed, random_cube
from solverworker.cube.cross import code
from solverworker.cube.in_hold import seen_in
from solverworker.cube.notation import parse
from solverworker.cube.turns import TURN_NAMES, TURN_NUMBERS, face_of
from solverworker.cube.whole import SOLVED_CUBE, Cube, after, inverted, is_odd
from solverworker.search import phase_tables
from solverworker.search.cross import distance_of_code
from solverworker.search.scramble import (
    MOST_TURNS,
    draw_scramble,
    draw_scrambles,
    stream_of,
    turns_to,
)

DATA = Path(__file__).parents[1] / "data"
EXACT = json.loads((DATA / "cross_counts.json").read_text("utf-8"))["face_turns"]
DRAWS = 20_000
UNLIKELY = 0.001


@pytest.fixture(scope="module")
def drawn():
    source = Stream("uniform")
    return [random_cube(source) for _ in range(DRAWS)]


def even(counts):
    return chisquare(counts).pvalue > UNLIKELY


def test_less_than_no_scramble_is_refused_in_words():
    with pytest.raises(ValueError, match="from none upwards, not -1 of them"):
        draw_scrambles(-1)
    assert draw_scrambles(0, "lantern").texts == ()


def test_the_stream_is_sha_256_of_seed_and_counter():
    # FIPS 180-4, by Python's own hashlib; the construction as the docstring says.
    blocks = b"".join(
        hashlib.sha256(b"lantern\0" + n.to_bytes(8, "big")).digest() for n in range(3)
    )
    words = [int.from_bytes(blocks[i : i + 4], "big") for i in range(0, len(blocks), 4)]
    stream = Stream("lantern")
    assert [stream.randrange(1 << 32) for _ in words] == words


@pytest.mark.parametrize("stop", [0, -1, (1 << 32) + 1])
def test_what_cannot_be_drawn_is_refused(stop):
    with pytest.raises(ValueError, match="cannot be drawn"):
        Stream("").randrange(stop)


@pytest.mark.parametrize("stop", [2, 3, 7, 12, 1000])
def test_numbers_of_a_stream_are_all_equally_likely(stop):
    stream = Stream(f"numbers below {stop}")
    counts = Counter(stream.randrange(stop) for _ in range(30 * stop + 2000))
    assert even([counts[n] for n in range(stop)])


def test_states_are_legal_and_need_two_turns(drawn):
    assert all(cube.is_legal for cube in drawn[:3000])
    assert all(needs_two_turns(cube) for cube in drawn)
    # WCA 4b3: the solved state and the 18 one turn away are left out, no others.
    assert not needs_two_turns(SOLVED_CUBE)
    assert not any(needs_two_turns(after([turn])) for turn in range(18))
    assert all(needs_two_turns(after([0, turn])) for turn in range(3, 18))


def test_cross_distances_are_spread_as_exactly_counted(drawn):
    found = Counter(distance_of_code(code(cube.cross)) for cube in drawn)
    # The rarest lengths together, so that every class has its five (as is usual for the test).
    counts = [sum(found[n] for n in range(4)), *(found[n] for n in (4, 5, 6, 7)), found[8]]
    exact = np.array([sum(EXACT[:4]), *EXACT[4:8], EXACT[8]], dtype=float)
    assert chisquare(counts, exact / exact.sum() * DRAWS).pvalue > UNLIKELY


def test_every_edge_and_corner_comes_to_every_place_and_lie_equally_often(drawn):
    for edge in range(12):
        states = Counter(cube.edges[edge] for cube in drawn)
        assert even([states[state] for state in range(24)])
    for corner in range(8):
        states = Counter(cube.corners[corner] for cube in drawn)
        assert even([states[state] for state in range(24)])


def test_parity_is_odd_half_the_time_and_the_same_for_edges_and_corners(drawn):
    edges = [is_odd([state // 2 for state in cube.edges]) for cube in drawn]
    corners = [is_odd([state // 3 for state in cube.corners]) for cube in drawn]
    assert edges == corners
    assert even([sum(edges), DRAWS - sum(edges)])


def test_the_scramble_makes_exactly_the_drawn_state(drawn):
    lengths = []
    for cube in drawn[:300]:
        turns = turns_to(cube)
        assert after(turns) == cube
        assert all(face_of(one) != face_of(two) for one, two in pairwise(turns))
        lengths.append(len(turns))
    assert max(lengths) <= MOST_TURNS == 22
    assert np.mean(lengths) <= 21


@given(st.lists(st.integers(0, 17), max_size=12))
@settings(max_examples=60)
def test_near_states_are_found_too(turns):
    cube = after(turns)
    assert after(turns_to(cube)) == cube


# States that are known to be hard (from memory, widely published): every edge flipped in its
# place, which needs 20 face turns, and that with the six dots.
def test_the_state_with_every_edge_flipped():
    flipped = Cube(tuple(2 * edge + 1 for edge in range(12)), SOLVED_CUBE.corners)
    turns = turns_to(flipped)
    assert after(turns) == flipped
    assert 20 <= len(turns) <= 22


def test_a_state_that_no_turns_make_is_refused():
    twisted = Cube(SOLVED_CUBE.edges, (1, *SOLVED_CUBE.corners[1:]))
    with pytest.raises(ValueError, match="No turns"):
        turns_to(twisted)


def test_a_seed_gives_the_same_scrambles_on_every_machine():
    kept = json.loads((DATA / "seeded_scrambles.json").read_text("utf-8"))
    assert list(draw_scrambles(len(kept["scrambles"]), kept["seed"]).texts) == kept["scrambles"]


def test_each_scramble_of_a_seed_stands_for_itself():
    five = draw_scrambles(5, "lantern")
    assert (five.method, five.seed) == ("random_state", "lantern")
    assert draw_scrambles(2, "lantern").texts == five.texts[:2]
    assert draw_scramble(stream_of("lantern", 4)) == five.texts[3]
    assert len(set(five.texts)) == 5
    for text in five.texts:
        tokens = parse(text, strict=True)
        cube = after(TURN_NUMBERS[str(token)] for token in tokens)
        assert cube == random_cube(stream_of("lantern", five.texts.index(text) + 1))


def test_without_a_seed_every_drawing_is_another():
    one, other = draw_scrambles(1), draw_scrambles(1)
    assert one.seed != other.seed
    assert one.texts != other.texts
    assert len(new_seed()) == 32


def test_completing_keeps_what_is_given_and_spreads_the_rest():
    source = Stream("complete")
    given_edges = {8: 3, 9: 16, 10: 5, 11: 22}
    cubes = [complete(given_edges, source) for _ in range(4000)]
    assert all(cube.is_legal for cube in cubes)
    assert all(cube.edges[edge] == state for cube in cubes for edge, state in given_edges.items())
    places = Counter(cube.edges[0] for cube in cubes)
    assert len(places) == 16
    assert even(list(places.values()))
    assert even([sum(is_odd([s // 3 for s in cube.corners]) for cube in cubes), *[
        4000 - sum(is_odd([s // 3 for s in cube.corners]) for cube in cubes)]])  # fmt: skip
    with pytest.raises(ValueError, match="cannot be completed"):
        complete({0: 0, 1: 1}, source)


@given(st.lists(st.integers(0, 17), max_size=20), st.integers(0, 23))
def test_a_state_seen_in_another_hold_and_back(turns, hold):
    cube = after(turns)
    assert inverted(inverted(cube)) == cube
    assert seen_in(cube, 0) == cube
    assert seen_in(inverted(cube), hold) == inverted(seen_in(cube, hold))
    assert seen_in(cube, hold).is_legal == cube.is_legal


def test_the_numbers_of_the_search_follow_turns():
    """Each table of turns is a permutation of its numbers, and four quarter turns are none."""
    table = phase_tables.phase_tables()
    for name in ("twist", "flip", "four", "middle", "corners"):
        for face in range(6):
            quarter = table[name][:, 3 * face].astype(int)
            assert np.array_equal(np.sort(quarter), np.arange(len(quarter)))
            assert np.array_equal(quarter[quarter], table[name][:, 3 * face + 1])
            assert np.array_equal(quarter[quarter[quarter]], table[name][:, 3 * face + 2])
    for name in ("edges", "middles"):
        for turn in phase_tables.PHASE_TWO:
            column = table[name][:, turn].astype(int)
            assert np.array_equal(np.sort(column), np.arange(len(column))), TURN_NAMES[turn]


def test_bounds_of_the_search_are_zero_only_at_home_and_right_from_turn_to_turn():
    table = phase_tables.phase_tables()
    bounds = table["twist_flip"].reshape(phase_tables.TWISTS, phase_tables.FLIPS)
    assert np.argwhere(bounds == 0).tolist() == [[0, 0]]
    sample = np.random.default_rng(3).integers(phase_tables.TWISTS, size=40)
    for twist in sample:
        around = [bounds[table["twist"][twist, turn], table["flip"][:, turn]] for turn in range(18)]
        nearest = np.min(around, axis=0).astype(int)
        own = bounds[twist].astype(int)
        assert np.array_equal(nearest[own > 0], own[own > 0] - 1)
