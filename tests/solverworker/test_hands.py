"""Easy on the hands: a convention, so only its rules are checked, and the kernel against them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solverworker.cube.hands import HANDS, HandCost, followed
from solverworker.cube.moments import normal_form
from solverworker.cube.turns import TURN_NUMBERS
from solverworker.review import check_plan, solve
from solverworker.search.cross import codes, distance_of_code, solutions_of_code
from solverworker.search.hands import hand_costs


def cost(text, hands=HANDS):
    return hands.of(TURN_NUMBERS[token] for token in text.split())


@pytest.mark.parametrize(
    ("easier", "harder"),
    [
        ("R", "B"),
        ("R", "R2"),
        ("U", "F"),
        ("F", "B"),
        ("R U R U R'", "R U R U R"),
        ("L' U L' U L", "L' U L' U L'"),
        ("R U R2", "B U B2"),
    ],
)
def test_what_is_easier(easier, harder):
    assert cost(easier) < cost(harder)


def test_a_wrist_follows_one_down_and_two_up_and_regrips_beyond():
    assert followed(0, 1) == (1, 0)
    assert followed(1, 1) == (2, 0)
    assert followed(2, 1) == (1, 1)
    assert followed(0, 3) == (-1, 0)
    assert followed(-1, 3) == (-1, 1)
    assert followed(0, 2) == (2, 0)
    assert followed(2, 2) == (0, 0)
    # R' twice with something between needs a regrip, the left hand's L as well.
    assert cost("R' U R'") == cost("L U L") == 12 + HANDS.regrip


def test_the_kernel_counts_as_the_plain_form_on_many_solutions():
    for number in codes()[::1500].tolist():
        length = distance_of_code(number)
        rows = solutions_of_code(number)
        plain = [HANDS.of(row[:length]) for row in rows.tolist()]
        assert hand_costs(rows, length).tolist() == plain


@given(st.lists(st.integers(0, 17), min_size=1, max_size=16))
def test_solve_orders_by_it_and_then_by_text(turns):
    text = " ".join(list(TURN_NUMBERS)[turn] for turn in turns)
    found = solve(text, colours=["yellow"])["yellow"].solutions
    assert list(found) == sorted(found, key=lambda one: (cost(one), one))


def test_the_cost_can_be_set():
    lefty = HandCost(faces=(1, 9, 9, 1, 1, 9), half=0, regrip=0)
    scramble = "R U F2 D B L2"
    own = solve(scramble, colours=["yellow"], hands=lefty)["yellow"].solutions
    assert list(own) == sorted(own, key=lambda one: (cost(one, lefty), one))
    assert set(own) == set(solve(scramble, colours=["yellow"])["yellow"].solutions)


@given(st.lists(st.integers(0, 17), min_size=1, max_size=14))
def test_what_is_shown_to_a_plan_with_nothing_in_common_comes_easiest_first(turns):
    text = " ".join(list(TURN_NUMBERS)[turn] for turn in turns)
    report = check_plan(text, "", colours=["yellow"], shown=600)
    costs = [cost(one.text) for one in report.shortest]
    assert costs == sorted(costs)


@given(st.lists(st.integers(0, 17), max_size=12))
def test_no_cost_is_below_that_of_its_turns(turns):
    tidy = [turn for moment in normal_form(turns) for turn in moment.turns]
    assert HANDS.of(tidy) >= sum(HANDS.faces[turn // 3] for turn in tidy)
