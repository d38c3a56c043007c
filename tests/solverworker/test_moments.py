"""The normal form: at most one turn of a face in a moment, nothing that cancels."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solverworker.cube.holds import walk
from solverworker.cube.moments import normal_form
from solverworker.cube.notation import parse
from solverworker.cube.turns import write_turns
from solverworker.cube.whole import after

TURNS = st.lists(st.integers(0, 17), max_size=14)


def written(text):
    return " ".join(write_turns(m.turns) for m in normal_form(walk(parse(text)).turns))


@pytest.mark.parametrize(
    ("plan", "expected"),
    [
        ("R R", "R2"),
        ("L R L'", "R"),
        ("R2 R2", ""),
        ("R U U' R'", ""),
        ("D U", "U D"),
        ("F R L' R' L F", "F2"),
        ("U R F F' R D", "U R2 D"),
        ("B F B' U", "F U"),
    ],
)
def test_small_cases_worked_by_hand(plan, expected):
    assert written(plan) == expected


@given(TURNS)
def test_it_does_the_same_and_is_never_longer(turns):
    moments = normal_form(turns)
    short = [turn for moment in moments for turn in moment.turns]
    assert after(short) == after(turns)
    assert len(short) <= len(turns)
    assert normal_form(short) == moments
    assert all(one.axis != next_.axis for one, next_ in pairwise(moments))
    assert all(moment.turns for moment in moments)


@given(TURNS, st.randoms())
def test_the_order_of_commuting_neighbours_means_nothing(turns, random):
    swapped = list(turns)
    for place in range(len(swapped) - 1):
        if swapped[place] // 3 % 3 == swapped[place + 1] // 3 % 3 and random.random() < 0.5:
            swapped[place], swapped[place + 1] = swapped[place + 1], swapped[place]
    assert normal_form(swapped) == normal_form(turns)


@given(TURNS)
def test_a_plan_and_its_way_back_leave_nothing(turns):
    back = [3 * (turn // 3) + 2 - turn % 3 for turn in reversed(turns)]
    assert normal_form([*turns, *back]) == ()
