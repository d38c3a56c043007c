"""Not solved: what is left, what stands right, and what may have gone wrong."""

import json

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solverworker.cube.cross import edges_relative
from solverworker.cube.holds import walk
from solverworker.cube.notation import canonical, parse
from solverworker.cube.solving import solved_crosses
from solverworker.report import PlanReport
from solverworker.review import check_plan, solve
from solverworker.review.slips import MOST_HINTS, hints
from tests.reference.slow_plan import distances_along
from tests.solverworker.test_plan_laws import FACE_TURNS, PLANS, SCRAMBLES, TOKENS


def hinted(scramble, plan, colours=("yellow",)):
    return check_plan(scramble, plan, colours=list(colours)).hints


@pytest.mark.parametrize(
    ("scramble", "plan", "kind", "token", "was", "instead", "mended"),
    [
        ("R D", "D R'", "change", 0, "D", "D'", "D' R'"),
        ("R D", "D' r'", "change", 1, "Rw'", "R'", "D' R'"),
        ("R D", "R' D'", "swap", 0, "R' D'", "D' R'", "D' R'"),
        ("R D", "D' L R'", "drop", 1, "L", "", "D' R'"),
        ("R D F2 L", "L' F2 R'", "add", 2, "", "D'", "L' F2 D' R'"),
    ],
)
def test_a_slip_of_one_move_is_found(scramble, plan, kind, token, was, instead, mended):
    first = hinted(scramble, plan)[0]
    assert (first.kind, first.token, first.was, first.instead) == (kind, token, was, instead)
    assert first.plan == mended
    assert first.colour == "yellow"


def test_a_plan_for_another_hold_is_found():
    # As if white were in front and green at the bottom; the turns are right otherwise.
    told = "F D L2 U"
    way = solve(told, colours=["yellow"])["yellow"].solutions[0]
    report = check_plan(f"{told} x", way, colours=["yellow"])
    assert not report.solved
    held = [hint for hint in report.hints if hint.kind == "held"]
    assert [(hint.top, hint.front, hint.colour) for hint in held] == [("white", "green", "yellow")]


def test_a_plan_that_is_far_off_and_one_without_moves_give_no_hint():
    assert hinted("R D F2 L U B2 R2 D' L2 F", "U") == ()
    assert hinted("R D", "") == ()


def test_hints_change_no_result_and_come_with_no_solved_plan():
    report = check_plan("R D", "D R'", colours=["yellow"])
    assert report.hints
    assert (report.solved, report.excess) == (False, None)
    assert check_plan("R D", "D' R'", colours=["yellow"]).hints == ()
    again = PlanReport.from_dict(json.loads(json.dumps(report.to_dict())))
    assert again == report


@given(SCRAMBLES, PLANS)
@settings(max_examples=60)
def test_every_mended_plan_solves_by_the_slow_twin_too(scramble, plan):
    report = check_plan(scramble, plan, colours=["yellow", "red"])
    edits = [hint for hint in report.hints if hint.kind != "held"]
    assert len(edits) <= MOST_HINTS
    tokens = report.canonical.split()
    for hint in edits:
        assert distances_along(scramble_as_canonical(scramble), hint.plan)[hint.colour][-1] == 0
        was, instead = hint.was.split(), hint.instead.split()
        assert tokens[hint.token : hint.token + len(was)] == was
        mended = [*tokens[: hint.token], *instead, *tokens[hint.token + len(was) :]]
        assert " ".join(mended) == hint.plan


@given(FACE_TURNS.filter(bool), st.integers(0, 23), st.data())
@settings(max_examples=60)
def test_a_planted_slip_is_among_all_that_are_tried(turns, hold, data):
    """One move the wrong way round, left out, doubled or swapped: the right plan is found."""
    from solverworker.cube.holds import RELABEL
    from solverworker.cube.turns import write_turns
    from solverworker.review.slips import _Search

    scramble = write_turns(RELABEL[hold][turn] for turn in turns)
    way = solve(scramble, colours=["red"])["red"].solutions[-1].split()
    assume(len(way) > 2)
    at = data.draw(st.integers(1, len(way) - 2))
    other = data.draw(TOKENS.filter(lambda token: token[0] in "URFDLB" and "w" not in token))
    slip = data.draw(
        st.sampled_from(
            [
                [*way[:at], *way[at + 1 :]],
                [*way[:at], way[at + 1], way[at], *way[at + 2 :]],
                [*way[:at], other, *way[at:]],
                [*way[:at], other, *way[at + 1 :]],
            ]
        )
    )
    plan = " ".join(slip)
    assume(not check_plan(scramble, plan, colours=["red"]).solved)
    tokens = parse(plan)
    # One that only joins with the move beside it is told as a change of that move.
    neighbours = {way[at - 1][0], *(way[at + 1][0] if at + 1 < len(way) else "")}
    assume(way[at][0] not in neighbours)
    tried = {hint.plan for _, hint in _Search(tokens, walk(parse(scramble)), [4]).edits()}
    assert " ".join(way) in tried
    assert len(hints(tokens, walk(parse(scramble)), [4])) <= MOST_HINTS + 1


def scramble_as_canonical(scramble):
    return canonical(parse(scramble))


@given(FACE_TURNS)
def test_edges_right_relative_to_each_other_are_right_after_some_turn_of_the_base(turns):
    """One turn of the bottom brings exactly those edges home."""
    from solverworker.cube.cross import after, edges_home

    state = after(turns)
    homes = [edges_home(after([turn], state)) for turn in (9, 10, 11)]
    found = edges_relative(state)
    assert found == (max(homes) if max(homes) > 1 else 0)


@given(SCRAMBLES, PLANS)
def test_the_plain_look_at_solved_crosses_is_the_checks(scramble, plan):
    assert solved_crosses(scramble, plan) == check_plan(scramble, plan).solved_colours
