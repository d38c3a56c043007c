"""Techniques: the worked examples, the twins, and what must not matter."""

import json
import random
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solverworker.cube.cross import SOLVED, STATE_COUNT, after, code, unrank
from solverworker.cube.moments import normal_form
from solverworker.cube.turns import TURN_NAMES, TURN_NUMBERS, inverse
from solverworker.search.cross import distance, shortest_solutions, solutions_of_code
from solverworker.techniques import TECHNIQUES, codes_of_mask, mask, mask_of_codes, masks, used
from solverworker.techniques.trace import ROOM, need
from tests.reference import slow_sequence, slow_techniques
from tests.solverworker.test_distances import STICKER, reference_state

WORKED = [
    (case["scramble"], case["plan"], set(case["used"]))
    for case in json.loads(
        (Path(__file__).parents[1] / "data" / "worked_techniques.json").read_text("utf-8")
    )["plans"]
]


def numbers(text):
    return [TURN_NUMBERS[name] for name in text.split()]


def in_normal_form(turns):
    return [turn for moment in normal_form(turns) for turn in moment.turns]


@st.composite
def solving_sequences(draw):
    """A state and turns that solve it: some at random, then a shortest way home."""
    scramble = draw(st.lists(st.integers(0, 17), max_size=14))
    detour = draw(st.lists(st.integers(0, 17), max_size=8))
    state = after(scramble)
    ways = shortest_solutions(after(detour, state))
    return state, [*detour, *draw(st.sampled_from(ways))]


@pytest.mark.parametrize(("scramble", "plan", "expected"), WORKED)
def test_the_worked_examples_use_what_they_should(scramble, plan, expected):
    state, turns = after(numbers(scramble)), numbers(plan)
    assert used(state, turns) == expected
    assert codes_of_mask(mask(code(state), in_normal_form(turns))) == expected


def test_every_example_is_shortest_and_uses_its_technique_alone():
    for code_of_it, technique in TECHNIQUES.items():
        scramble, solution = map(numbers, technique.example)
        state = after(scramble)
        assert len(solution) == distance(state)
        assert used(state, solution) == {code_of_it}
        assert technique.definition.endswith(".")


def test_every_technique_has_a_slow_twin_and_every_twin_a_technique():
    assert set(slow_techniques.TWINS) == set(TECHNIQUES)


def test_turns_that_do_not_solve_are_refused():
    with pytest.raises(ValueError, match="do not solve"):
        used(after([3]), [0])


def test_masks_and_codes_tell_the_same():
    for number in range(1 << len(TECHNIQUES)):
        assert mask_of_codes(codes_of_mask(number)) == number
    with pytest.raises(ValueError, match="no technique"):
        mask_of_codes(["nonsense"])
    with pytest.raises(ValueError, match="at most"):
        masks(0, np.zeros((1, ROOM + 1), dtype=np.uint8))


def test_the_need_of_an_edge_is_what_a_search_finds():
    assert [need(edge) for edge in range(24)] == [
        slow_sequence.needs()[STICKER[edge]] for edge in range(24)
    ]


def test_kernels_plain_forms_and_the_reference_agree_on_shortest_solutions():
    source = random.Random(3)
    for number in source.sample(range(STATE_COUNT), 250):
        state = unrank(number)
        solutions = shortest_solutions(state)
        found = masks(code(state), solutions_of_code(code(state)), distance(state))
        for one in source.sample(range(len(solutions)), min(6, len(solutions))):
            plain = used(state, solutions[one])
            assert codes_of_mask(int(found[one])) == plain
            names = [TURN_NAMES[turn] for turn in solutions[one]]
            assert slow_techniques.techniques(reference_state(state), names) == plain


@given(solving_sequences())
@settings(max_examples=150)
def test_they_agree_on_any_solving_sequence(sequence):
    state, turns = sequence
    plain = used(state, turns)
    assert codes_of_mask(mask(code(state), in_normal_form(turns))) == plain
    names = [TURN_NAMES[turn] for turn in turns]
    assert slow_techniques.techniques(reference_state(state), names) == plain


@given(solving_sequences(), st.randoms(use_true_random=False))
def test_the_order_of_commuting_neighbours_does_not_matter(sequence, source):
    state, turns = sequence
    shuffled = list(turns)
    for _ in range(20):
        for index in range(len(shuffled) - 1):
            one, two = shuffled[index], shuffled[index + 1]
            if one // 3 % 3 == two // 3 % 3 and source.random() < 0.5:
                shuffled[index : index + 2] = [two, one]
    assert used(state, shuffled) == used(state, turns)
    tidy = in_normal_form(turns)
    for index in range(len(tidy) - 1):
        one, two = tidy[index], tidy[index + 1]
        if one // 3 % 3 == two // 3 % 3:
            swapped = [*tidy[:index], two, one, *tidy[index + 2 :]]
            assert mask(code(state), swapped) == mask(code(state), tidy)


def turned_about(turns, by="FRBL"):
    """Name the side faces anew: as when the cube is held a quarter turn round."""
    names = dict(zip("UDFRBL", "UD" + by, strict=True))
    return [TURN_NUMBERS[names[TURN_NAMES[t][0]] + TURN_NAMES[t][1:]] for t in turns]


@given(solving_sequences())
def test_all_four_holds_tell_the_same(sequence):
    state, turns = sequence
    expected = used(state, turns)
    # A state is told by turns that make it, which are seen anew in each hold.
    makes = inverse(turns)
    for by in ("RBLF", "BLFR", "LFRB"):
        there = after(turned_about(makes, by))
        assert used(there, turned_about(turns, by)) == expected
        assert codes_of_mask(mask(code(there), in_normal_form(turned_about(turns, by)))) == expected


@given(solving_sequences())
def test_the_mirror_image_tells_the_same(sequence):
    state, turns = sequence

    def mirrored(some):
        return [
            turn if turn % 3 == 1 else 3 * (turn // 3) + 2 - turn % 3
            for turn in turned_about(some, "FLBR")
        ]

    there = after(mirrored(inverse(turns)))
    assert used(there, mirrored(turns)) == used(state, turns)


def test_a_solved_cross_needs_no_technique():
    assert used(SOLVED, []) == frozenset()
    assert used(SOLVED, numbers("R R'")) == frozenset()
