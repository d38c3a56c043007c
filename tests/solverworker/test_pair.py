"""Cross and first pair: distances against meeting in the middle, slots, solutions, plans."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solverworker.cube.cross import SOLVED, STATE_COUNT
from solverworker.cube.cross import after as cross_after
from solverworker.cube.holds import RELABEL
from solverworker.cube.notation import NotationError
from solverworker.cube.turns import TURN_NAMES, write_turns
from solverworker.report import COLOURS
from solverworker.review import PairTableMissing, check_pair, check_plan, solve, with_pair
from solverworker.search import pair
from solverworker.search.cross import distance
from tests.reference import pair_search
from tests.reference.numbered_cube import follow

TURNS = st.lists(st.integers(0, 17), min_size=1, max_size=18)


@pytest.fixture(scope="module", autouse=True)
def table():
    return pair.table()


def random_turns(count, seed, length=30):
    source = random.Random(seed)
    return [[source.randrange(18) for _ in range(length)] for _ in range(count)]


def test_the_table_is_of_every_state(table):
    assert sum(table.by_distance.values()) == pair.STATES == STATE_COUNT * 24 * 16 == 72_990_720
    assert list(table.by_distance) == list(range(11))
    assert (table.by_distance[0], table.by_distance[1]) == (1, 15)
    mean = sum(far * count for far, count in table.by_distance.items()) / pair.STATES
    assert mean == pytest.approx(7.98, abs=0.005)


def test_distances_near_home_are_as_many_as_the_reference_finds(table):
    new = [len(set(near)) for near in pair_search.ball()]
    # A ball holds what is reachable in exactly so many turns, which from the
    # first turn on is all that is no farther.
    within = [sum(table.by_distance[n] for n in range(far + 1)) for far in range(6)]
    assert new[2:] == within[2:]


def test_distances_are_those_of_meeting_in_the_middle(table):
    for turns in random_turns(300, seed=5):
        reference = pair_search.distance(pair_search.state_after(follow(write_turns(turns))))
        assert table.distance(pair.after(turns)) == reference


def test_neighbours_differ_by_one_at_most_and_some_neighbour_is_nearer(table):
    for turns in random_turns(60, seed=6):
        here = table.distance(pair.after(turns))
        around = [table.distance(pair.after([*turns, turn])) for turn in range(18)]
        assert all(abs(here - there) <= 1 for there in around)
        assert here == 0 or min(around) == here - 1


def test_every_shortest_solution_is_found_once(table):
    home = pair.after([])
    for turns in random_turns(40, seed=7, length=7):
        number = pair.after(turns)
        found = table.solutions(number)
        names = [write_turns(one) for one in found]
        assert names == sorted(set(names))
        assert all(pair.after([*turns, *one]) == home for one in found)
        assert {len(one) for one in found} == {table.distance(number)}
    counted = {write_turns(one) for one in table.solutions(pair.after([9, 3, 0]))}
    assert counted == all_shortest([9, 3, 0], 3)


def all_shortest(turns, length):
    """Try every sequence of so many turns, one order for commuting neighbours."""
    home, found = pair.after([]), set()

    def go_on(path):
        if len(path) == length:
            if pair.after([*turns, *path]) == home:
                found.add(write_turns(path))
            return
        for turn in range(18):
            face = turn // 3
            if path and path[-1] // 3 in (face, face + 3):
                continue
            go_on([*path, turn])

    go_on([])
    return found


def test_what_is_no_state_is_refused():
    with pytest.raises(ValueError, match="not a state"):
        pair.number_of(SOLVED, 12, 16)


@given(TURNS)
@settings(max_examples=40)
def test_best_slots_and_solutions_belong_together(turns):
    scramble = write_turns(turns)
    alone = solve(scramble)
    for colour, each in with_pair(scramble).items():
        assert len(each.slots) == 4
        assert each.best == min(each.slots.values()) >= alone[colour].best
        assert max(each.slots.values()) <= 10
        assert each.count >= len(each.solutions) == len(set(each.solutions)) > 0
        for text in each.solutions[:6]:
            report = check_pair(scramble, text, "", colour=colour)
            assert (report.solved, report.moves, report.excess) == (True, each.best, 0)


@given(TURNS, st.integers(0, 23))
@settings(max_examples=40)
def test_turning_the_whole_cube_only_renames_colours_and_slots(turns, hold):
    here = with_pair(write_turns(turns))
    there = with_pair(write_turns(RELABEL[hold][turn] for turn in turns))
    told = [sorted((each.best, *sorted(each.slots.values())) for each in some.values())
            for some in (here, there)]  # fmt: skip
    assert told[0] == told[1]


@given(TURNS)
@settings(max_examples=25)
def test_the_mirror_image_is_equally_far(turns):
    here = with_pair(write_turns(turns), colours=["yellow"])["yellow"]
    image = with_pair(write_turns(map(_mirror, turns)), colours=["yellow"])["yellow"]
    assert sorted(here.slots.values()) == sorted(image.slots.values())
    assert here.count == image.count


def _mirror(turn):
    """Swap left and right, and every turn's direction."""
    name = TURN_NAMES[3 * (turn // 3) + 2 - turn % 3]
    return TURN_NAMES.index(name.translate(str.maketrans("LR", "RL")))


def test_a_pair_planned_ahead_is_weighed_from_the_scramble_on():
    scramble = "R U F2 D B"
    best = with_pair(scramble, colours=["white"])["white"]
    cross = solve(scramble, colours=["white"])["white"].solutions[0]
    report = check_pair(scramble, cross, "U U'", colour="white")
    assert report.moves == len(cross.split()) - 1 + 2
    assert report.best == best.best
    assert report.from_cross >= 0
    crossed = check_plan(scramble, cross, colours=["white"])
    assert crossed.solved


@given(TURNS)
@settings(max_examples=20)
def test_the_best_cross_leaves_a_pair_as_near_as_it_says_and_no_other_a_nearer_one(turns):
    scramble = write_turns(turns)
    colour = "green"
    report = check_pair(scramble, "", "", colour=colour)
    ways = solve(scramble, colours=[colour])[colour].solutions
    assert report.best_cross.text in ways
    left = {way: check_pair(scramble, way, "", colour=colour).from_cross for way in ways[:30]}
    assert report.best_cross.then <= min(left.values())
    chosen = check_pair(scramble, report.best_cross.text, "", colour=colour)
    assert chosen.from_cross == report.best_cross.then
    assert report.from_cross == report.best


def test_an_unsolved_pair_has_no_excess_and_its_slots_are_named_by_colour():
    report = check_pair("R U F2 D B", "B'", "", colour="white")
    assert (report.solved, report.slot, report.excess) == (False, None, None)
    slots = with_pair("R U F2 D B", colours=["white"])["white"].slots
    assert set(slots) == {"green-orange", "blue-orange", "blue-red", "green-red"}
    assert all(name.split("-")[0] in COLOURS for name in slots)


def test_what_cannot_be_read_says_it_is_in_the_pair_plan():
    with pytest.raises(NotationError) as caught:
        check_pair("R U", "U'", "Q", colour="white")
    assert caught.value.where == "pair plan"


def test_without_its_table_the_feature_says_that_it_is_being_prepared(monkeypatch, tmp_path):
    monkeypatch.setenv("WITHIN_EIGHT_CACHE", str(tmp_path))
    monkeypatch.setattr(pair, "_held", [])
    with pytest.raises(PairTableMissing, match="being prepared"):
        with_pair("R U")
    assert distance(cross_after([3])) == 1
