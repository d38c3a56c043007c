"""What a plan leaves: against every way tried on numbered stickers, and by what must hold."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solverworker.cube.hands import HANDS
from solverworker.cube.notation import NotationError, parse
from solverworker.cube.turns import TURN_NAMES, TURN_NUMBERS, write_turns
from solverworker.outlook import OUTLOOK_VERSION, PlanOutlook
from solverworker.report import COLOURS
from solverworker.review import check_pair, check_plan, plan_outlook, solve
from solverworker.review.outlook import every_way
from solverworker.search import ways as searched
from solverworker.search.cross import codes, tables
from tests.reference import slow_outlook

TURNS = st.lists(st.integers(0, 17), min_size=1, max_size=18)


def scrambles(count, seed, length=20):
    source = random.Random(seed)
    return [write_turns(source.randrange(18) for _ in range(length)) for _ in range(count)]


def shortest_plan(scramble, colour, number=0):
    found = solve(scramble, colours=[colour])[colour].solutions
    return found[number % len(found)]


@pytest.mark.parametrize("colour", COLOURS)
def test_what_is_left_is_what_trying_every_way_finds(colour):
    # Source: the slow twin, which shares no code with the solver.
    for number, scramble in enumerate(scrambles(3, seed=colour)):
        plan = shortest_plan(scramble, colour, number)
        found = plan_outlook(scramble, plan, colours=[colour])
        before = slow_outlook.seen(scramble, colour)
        rotation, turns = split(plan)
        own = slow_outlook.seen(turns, colour) if not rotation else turns
        assert found.own.left == slow_outlook.left_after(f"{before} {own}")
        length = found.own.moves
        assert found.shortest.left == slow_outlook.least_left(before, length)
        assert found.longer.left == slow_outlook.least_left(before, length + 1)
        assert (found.shortest.moves, found.longer.moves) == (length, length + 1)
        assert found.hands.ways == len(slow_outlook.ways(before, length))


def split(plan):
    """The rotation with which a shortest solution begins, and its turns."""
    first, _, rest = plan.partition(" ")
    return (first, rest) if first and first[0] in "xyz" else ("", plan)


def test_the_ways_of_a_length_are_all_of_them_however_many(monkeypatch):
    eight = [int(code) for code in codes() if tables().distances[code] == 8][:3]
    for code in eight:
        all_at_once = every_way(code, 9)
        assert len(all_at_once) > 4000
        monkeypatch.setattr("solverworker.review.outlook.MOST_WAYS", 10)
        assert every_way(code, 9).tolist() == all_at_once.tolist()
        monkeypatch.undo()
    assert len(searched.ways(eight[0], 9, 10)) == 10


@given(TURNS, st.sampled_from(COLOURS), st.integers(0, 40))
@settings(max_examples=40)
def test_every_way_that_is_shown_does_what_is_said_of_it(turns, colour, number):
    scramble = write_turns(turns)
    plan = shortest_plan(scramble, colour, number)
    found = plan_outlook(scramble, plan, colours=[colour])
    start = check_plan(scramble, plan, colours=[colour]).distance_start
    assert found.own.way == plan
    for one, moves in ((found.own, start), (found.shortest, start), (found.longer, start + 1)):
        crossed = check_plan(scramble, one.way, colours=[colour])
        assert (crossed.solved, crossed.moves) == (True, moves)
        together = check_pair(scramble, one.way, one.then, colour=colour)
        assert (together.solved, together.moves) == (True, moves + one.left)
        assert together.from_cross == one.left
    assert found.shortest.left <= found.own.left
    # A turn of the top after a shortest way is a way one move longer.
    assert found.longer.left <= found.shortest.left + 1


@given(TURNS, st.integers(0, 40), st.sampled_from(["y", "y'", "y2", "z2", "x", "z' y"]))
@settings(max_examples=30)
def test_the_same_plan_held_otherwise_leaves_the_same(turns, number, rotations):
    scramble = write_turns(turns)
    plan = shortest_plan(scramble, "yellow", number)
    here = plan_outlook(scramble, plan, colours=["yellow"])
    there = plan_outlook(scramble, turned(rotations, plan), colours=["yellow"])
    for name in ("own", "shortest", "longer"):
        one, other = getattr(here, name), getattr(there, name)
        assert (one.moves, one.left) == (other.moves, other.left)
    assert here.own.slot == there.own.slot
    assert there.shortest.way.startswith(rotations)
    assert here.hands.ways == there.hands.ways


def turned(rotations, plan):
    """The same turns of the same layers, written after rotations."""
    from solverworker.cube.holds import RELABEL, walk

    relabel = RELABEL[walk(parse(rotations)).hold]
    return f"{rotations} " + write_turns(relabel[TURN_NUMBERS[one]] for one in plan.split())


@given(TURNS, st.integers(0, 40))
@settings(max_examples=30)
def test_the_mirror_image_leaves_as_much(turns, number):
    scramble = write_turns(turns)
    plan = shortest_plan(scramble, "yellow", number)
    here = plan_outlook(scramble, plan, colours=["yellow"])
    there = plan_outlook(mirrored(scramble), mirrored(plan), colours=["yellow"])
    for name in ("own", "shortest", "longer"):
        assert getattr(here, name).left == getattr(there, name).left


def mirrored(text):
    """Left for right, and every turn the other way round."""
    names = [TURN_NAMES[3 * (n // 3) + 2 - n % 3] for n in map(TURN_NUMBERS.get, text.split())]
    return " ".join(names).translate(str.maketrans("LR", "RL"))


@given(TURNS, st.sampled_from(COLOURS), st.integers(0, 40))
@settings(max_examples=40)
def test_the_hands_are_asked_of_all_equally_short_ways_held_alike(turns, colour, number):
    scramble = write_turns(turns)
    every = solve(scramble, colours=[colour])[colour].solutions
    plan = every[number % len(every)]
    found = plan_outlook(scramble, plan, colours=[colour]).hands
    costs = [cost(one) for one in every]
    assert (found.cost, found.least, found.ways) == (cost(plan), min(costs), len(every))
    assert found.easier == sum(one < found.cost for one in costs)
    assert cost(found.way) == min(costs)


def cost(way):
    return HANDS.of(TURN_NUMBERS[one] for one in split(way)[1].split())


def test_a_plan_that_is_no_shortest_way_has_no_equals_to_be_compared_with():
    found = plan_outlook("R D", "U D' R'", colours=["yellow"])
    assert (found.own.moves, found.shortest.moves, found.longer.moves) == (3, 2, 3)
    assert found.hands is None


def test_a_plan_that_does_not_solve_leaves_nothing_but_the_colours():
    found = plan_outlook("R D", "D'", colours=["yellow"])
    assert found.own is found.shortest is found.longer is found.hands is None
    assert found.distances == tuple(solve("R D")[colour].best for colour in COLOURS)
    assert found == plan_outlook("R D", "", colours=["white", "yellow"])


def test_the_colour_is_the_one_that_the_plan_is_judged_for():
    for scramble in scrambles(20, seed=9):
        colours = ["white", "red", "blue"]
        plan = shortest_plan(scramble, "red")
        report = check_plan(scramble, plan, colours=colours)
        found = plan_outlook(scramble, plan, colours=colours)
        assert report.solved
        assert "red" in report.solved_colours
        assert found.shortest.moves == report.distance_start
        assert found.distances[COLOURS.index(report.colour)] == report.distance_start
        assert min(found.distances[COLOURS.index(one)] for one in colours) == report.best


def test_a_cross_that_is_there_already_leaves_pairs_too():
    found = plan_outlook("R U R'", "", colours=["yellow"])
    assert found.own == found.shortest
    assert (found.own.moves, found.own.left, found.longer.moves) == (0, 0, 1)
    assert found.hands.ways == 1


@given(TURNS, TURNS, st.sampled_from(COLOURS))
@settings(max_examples=40)
def test_a_pair_ahead_is_weighed_as_cross_and_pair_are(turns, pair, colour):
    scramble, ahead = write_turns(turns), write_turns(pair)
    plan = shortest_plan(scramble, colour)
    found = plan_outlook(scramble, plan, colours=[colour], pair_ahead=ahead).pair_ahead
    report = check_pair(scramble, plan, ahead, colour=colour)
    assert (found.solved, found.whole, found.best) == (report.solved, report.moves, report.best)
    assert (found.moves, found.from_cross) == (len(pair), report.from_cross)
    assert found.slot == (report.slot or "") or report.solved
    best = check_pair(scramble, found.best_way, "", colour=colour)
    assert (best.solved, best.excess) == (True, 0)
    after = check_pair(scramble, plan, found.from_cross_way, colour=colour)
    assert (after.solved, after.moves) == (True, len(split(plan)[1].split()) + found.from_cross)


def test_a_pair_ahead_is_read_from_where_the_plan_ends():
    scramble, plan = "R U F2 D B", "z2 B' D' L'"
    then = plan_outlook(scramble, f"R U R' {plan}", colours=["white"])
    assert then.own is None
    ended = plan_outlook(scramble, f"{plan} y", colours=["white"], pair_ahead="U U'")
    assert ended.pair_ahead.from_cross == ended.own.left
    assert ended.own.way == f"{plan} y"
    assert check_pair(scramble, ended.own.way, ended.own.then, colour="white").solved


def test_a_pair_ahead_of_an_unsolved_plan_counts_if_cross_and_pair_are_there_at_the_end():
    # The last move of the cross stands among those of the pair.
    found = plan_outlook("R D", "D'", colours=["yellow"], pair_ahead="R'")
    assert found.own is None
    assert (found.pair_ahead.solved, found.pair_ahead.whole) == (True, 2)


def test_what_cannot_be_read_says_where():
    with pytest.raises(NotationError) as caught:
        plan_outlook("R D", "D' R'", colours=["yellow"], pair_ahead="Q")
    assert caught.value.where == "pair plan"
    with pytest.raises(NotationError):
        plan_outlook("R D", "r", colours=["yellow"], strict=True)


def test_an_outlook_goes_to_json_and_back_without_loss():
    for plan, ahead in (("D' R'", "U"), ("U D' R'", ""), ("D'", "")):
        found = plan_outlook("R D", plan, colours=["yellow"], pair_ahead=ahead)
        assert PlanOutlook.from_dict(found.to_dict()) == found
        assert found.version == OUTLOOK_VERSION
