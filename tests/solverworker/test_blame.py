"""Blame: the worked examples, the slow twin, the sum, and what must not matter."""

import json
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from solverworker.cube.cross import SOLVED, after, code
from solverworker.cube.turns import TURN_NAMES, inverse
from solverworker.review.blame import ORDER, blame_of
from solverworker.search.cross import distance, shortest_solutions
from solverworker.techniques import TECHNIQUES
from tests.reference import slow_blame
from tests.solverworker.test_techniques import courses, numbers, turned_about

WORKED = json.loads(
    (Path(__file__).parents[1] / "data" / "worked_techniques.json").read_text("utf-8")
)["plans"]


def names(turns):
    return [TURN_NAMES[turn] for turn in turns]


def told(blame):
    return (blame.used, blame.called, blame.answered, blame.shares)


@pytest.mark.parametrize("case", WORKED, ids=lambda case: case["plan"])
def test_the_worked_examples(case):
    state, turns = after(numbers(case["scramble"])), numbers(case["plan"])
    along = [distance(after(turns[:done], state)) for done in range(len(turns) + 1)]
    assert along == case["distances"]
    blame = blame_of(code(state), turns)
    assert sorted(blame.used) == case["used"]
    assert sorted(blame.called) == case["called"]
    assert sorted(blame.answered) == case["answered"]
    assert {name: str(share) for name, share in blame.shares.items()} == case["blame"]


@pytest.mark.parametrize("case", WORKED, ids=lambda case: case["plan"])
def test_the_slow_twin_knows_the_worked_examples_too(case):
    state = slow_blame.state_after(case["scramble"].split())
    slow = slow_blame.review(state, case["plan"].split())
    assert (sorted(slow.used), sorted(slow.called)) == (case["used"], case["called"])
    assert sorted(slow.answered) == case["answered"]
    assert {name: str(share) for name, share in slow.blame.items()} == case["blame"]


@given(courses())
@settings(max_examples=120)
def test_it_is_what_the_slow_twin_finds(course):
    state, turns = course
    blame = blame_of(code(state), turns)
    makes = slow_blame.state_after(names(inverse(turns)))
    slow = slow_blame.review(makes, names(turns))
    assert set(blame.used) == slow.used
    assert set(blame.called) == slow.called
    assert set(blame.answered) == slow.answered
    assert blame.shares == slow.blame


@given(courses(), st.integers(0, 4))
@example((SOLVED, []), 0)
@example((SOLVED, numbers("R R'")), 0)
@example((SOLVED, numbers("R L R' L'")), 0)
@example((after([3]), [4] * 159 + [5]), 1)
def test_the_shares_are_all_of_the_excess_and_none_is_negative(course, choice):
    state, turns = course
    if after(turns, state) != SOLVED:
        turns = [*turns, *shortest_solutions(after(turns, state))[0]]
    blame = blame_of(code(state), turns, colour_choice=choice)
    shares = blame.shares
    assert sum(shares.values()) == len(turns) - distance(state) + choice
    assert all(isinstance(share, Fraction) and share > 0 for share in shares.values())
    assert list(shares) == [name for name in ORDER if name in shares]
    assert shares.get("colour_choice", 0) == choice
    assert set(blame.answered) <= set(blame.called)
    for some in (blame.used, blame.called, blame.answered):
        assert list(some) == [name for name in TECHNIQUES if name in some]


@given(courses())
def test_a_plan_without_loss_has_no_blame_and_answers_what_its_start_calls_for(course):
    state, _ = course
    ways = shortest_solutions(state)
    for way in (ways[0], ways[-1]):
        blame = blame_of(code(state), way)
        assert blame.shares == {}
        every = [set(blame_of(code(state), each).used) for each in ways[:40]]
        if len(ways) <= 40:
            assert set.intersection(*every) <= set(blame.answered)


@given(courses(), st.randoms(use_true_random=False))
def test_the_order_of_commuting_neighbours_does_not_matter(course, source):
    state, turns = course
    shuffled = list(turns)
    for _ in range(20):
        for index in range(len(shuffled) - 1):
            one, two = shuffled[index], shuffled[index + 1]
            if one // 3 % 3 == two // 3 % 3 and source.random() < 0.5:
                shuffled[index : index + 2] = [two, one]
    assert told(blame_of(code(state), shuffled)) == told(blame_of(code(state), turns))


@given(courses())
def test_all_four_holds_tell_the_same(course):
    state, turns = course
    expected = told(blame_of(code(state), turns))
    for by in ("RBLF", "BLFR", "LFRB"):
        there = after(turned_about(inverse(turns), by))
        assert told(blame_of(code(there), turned_about(turns, by))) == expected


@given(courses())
def test_the_mirror_image_tells_the_same(course):
    state, turns = course

    def mirrored(some):
        return [
            turn if turn % 3 == 1 else 3 * (turn // 3) + 2 - turn % 3
            for turn in turned_about(some, "FLBR")
        ]

    there = after(mirrored(inverse(turns)))
    assert told(blame_of(code(there), mirrored(turns))) == told(blame_of(code(state), turns))
