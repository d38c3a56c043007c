"""Blame: the worked examples, the slow twin, the sum, and what must not matter."""

import json
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from solverworker.causes import CAUSES
from solverworker.cube.cross import SOLVED, after, code
from solverworker.cube.holds import EFFECTS
from solverworker.cube.turns import TURN_NAMES, TURN_NUMBERS, inverse, write_turns
from solverworker.report import COLOURS, TechniqueUse
from solverworker.review import check_plan
from solverworker.review.blame import blame_of
from solverworker.search.cross import distance, shortest_solutions
from solverworker.techniques import TECHNIQUES
from tests.reference import slow_blame
from tests.solverworker.test_plan_laws import PLANS, SCRAMBLES
from tests.solverworker.test_techniques import numbers, solving_sequences, turned_about

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


@given(solving_sequences())
@settings(max_examples=120)
def test_it_is_what_the_slow_twin_finds(sequence):
    state, turns = sequence
    blame = blame_of(code(state), turns)
    makes = slow_blame.state_after(names(inverse(turns)))
    slow = slow_blame.review(makes, names(turns))
    assert set(blame.used) == slow.used
    assert set(blame.called) == slow.called
    assert set(blame.answered) == slow.answered
    assert blame.shares == slow.blame


@given(solving_sequences(), st.integers(0, 4))
@example((SOLVED, []), 0)
@example((SOLVED, numbers("R R'")), 0)
@example((SOLVED, numbers("R L R' L'")), 0)
@example((after([3]), [4] * 159 + [5]), 1)
def test_the_shares_are_all_of_the_excess_and_none_is_negative(sequence, choice):
    state, turns = sequence
    if after(turns, state) != SOLVED:
        turns = [*turns, *shortest_solutions(after(turns, state))[0]]
    blame = blame_of(code(state), turns, colour_choice=choice)
    shares = blame.shares
    assert sum(shares.values()) == len(turns) - distance(state) + choice
    assert all(isinstance(share, Fraction) and share > 0 for share in shares.values())
    assert list(shares) == [name for name in CAUSES if name in shares]
    assert shares.get("colour_choice", 0) == choice
    assert set(blame.answered) <= set(blame.called)
    for some in (blame.used, blame.called, blame.answered):
        assert list(some) == [name for name in TECHNIQUES if name in some]


@given(solving_sequences())
def test_a_plan_without_loss_has_no_blame_and_answers_what_its_start_calls_for(sequence):
    state, _ = sequence
    ways = shortest_solutions(state)
    for way in (ways[0], ways[-1]):
        blame = blame_of(code(state), way)
        assert blame.shares == {}
        every = [set(blame_of(code(state), each).used) for each in ways[:40]]
        if len(ways) <= 40:
            assert set.intersection(*every) <= set(blame.answered)


@given(solving_sequences(), st.randoms(use_true_random=False))
def test_the_order_of_commuting_neighbours_does_not_matter(sequence, source):
    state, turns = sequence
    shuffled = list(turns)
    for _ in range(20):
        for index in range(len(shuffled) - 1):
            one, two = shuffled[index], shuffled[index + 1]
            if one // 3 % 3 == two // 3 % 3 and source.random() < 0.5:
                shuffled[index : index + 2] = [two, one]
    assert told(blame_of(code(state), shuffled)) == told(blame_of(code(state), turns))


@given(solving_sequences())
def test_all_four_holds_tell_the_same(sequence):
    state, turns = sequence
    expected = told(blame_of(code(state), turns))
    for by in ("RBLF", "BLFR", "LFRB"):
        there = after(turned_about(inverse(turns), by))
        assert told(blame_of(code(there), turned_about(turns, by))) == expected


@given(solving_sequences())
def test_the_mirror_image_tells_the_same(sequence):
    state, turns = sequence

    def mirrored(some):
        return [
            turn if turn % 3 == 1 else 3 * (turn // 3) + 2 - turn % 3
            for turn in turned_about(some, "FLBR")
        ]

    there = after(mirrored(inverse(turns)))
    assert told(blame_of(code(there), mirrored(turns))) == told(blame_of(code(state), turns))


# In a report: any spelling, any colours ------------------------------------------


@st.composite
def spellings(draw):
    """A scramble, a plan in face turns that solves a colour, and the same spelled another way."""
    scramble = draw(st.lists(st.integers(0, 17), min_size=1, max_size=12))
    plan = draw(st.lists(st.integers(0, 17), max_size=5))
    report = check_plan(write_turns(scramble), write_turns(plan))
    plan += [TURN_NUMBERS[name] for name in (report.missing or "").split()]
    hold, index, spelled = 0, 0, []
    while index < len(plan):
        for _ in range(draw(st.integers(0, 1))):
            name, quarters = draw(st.tuples(st.sampled_from("xyz"), st.integers(1, 3)))
            spelled.append(name + SUFFIX[quarters])
            hold = EFFECTS[name, quarters][hold].hold
        options = [
            (family, quarters, len(steps[hold].turns))
            for (family, quarters), steps in EFFECTS.items()
            if steps[hold].turns
            and steps[hold].turns == tuple(plan[index:][: len(steps[hold].turns)])
        ]
        family, quarters, taken = draw(st.sampled_from(sorted(options)))
        letter = family[0].lower() if family.endswith("w") and draw(st.booleans()) else family
        spelled.append(letter + draw(st.sampled_from(CLUB_SUFFIXES[quarters])))
        hold = EFFECTS[family, quarters][hold].hold
        index += taken
    between = draw(st.sampled_from([" ", "  ", ""]))
    return write_turns(scramble), write_turns(plan), between.join(spelled)


SUFFIX = ("", "", "2", "'")
CLUB_SUFFIXES = (None, ("", "3'"), ("2", "2'"), ("'", "3", "’"))


@given(spellings())
@settings(max_examples=100)
def test_every_spelling_tells_the_same(texts):
    scramble, plan, spelled = texts
    plain, other = check_plan(scramble, plan), check_plan(scramble, spelled)
    assert other.solved
    assert other.solved == plain.solved
    assert other.techniques == plain.techniques


@given(SCRAMBLES, PLANS, st.lists(st.sampled_from(COLOURS), min_size=1, unique=True))
@settings(max_examples=100)
def test_with_colours_allowed_the_blame_is_all_of_the_excess(scramble, plan, colours):
    report = check_plan(scramble, plan, colours=colours)
    if not report.solved:
        assert report.techniques == TechniqueUse()
        report = check_plan(scramble, f"{plan} {report.missing}", colours=colours)
    blame = {name: Fraction(share) for name, share in report.techniques.blame}
    assert sum(blame.values()) == report.excess
    assert blame.get("colour_choice", 0) == report.colour_choice
