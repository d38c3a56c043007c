"""Not solved: what is left, what stands right, and what may have gone wrong."""

import json
import random
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solverworker.cube.cross import edges_relative
from solverworker.cube.holds import walk
from solverworker.cube.moments import normal_form
from solverworker.cube.notation import canonical, parse
from solverworker.cube.solving import solved_crosses
from solverworker.report import PlanReport
from solverworker.review import check_plan, solve
from solverworker.review.slips import MOST_HINTS, slips
from tests.reference.slow_plan import distances_along
from tests.solverworker.test_plan_laws import FACE_TURNS, PLANS, SCRAMBLES, TOKENS


def hinted(scramble, plan, colours=("yellow",)):
    return check_plan(scramble, plan, colours=list(colours)).hints


@pytest.mark.parametrize(
    ("scramble", "plan", "kind", "token", "was", "instead", "mended"),
    [
        ("R D", "D R'", "change", 0, "D", "D'", "D' R'"),
        ("R D F2 L", "L' F2 D' r'", "change", 3, "Rw'", "R'", "L' F2 D' R'"),
        ("R D F2 L", "L' F2 R' D'", "swap", 2, "R' D'", "D' R'", "L' F2 D' R'"),
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
    held = report.hints
    assert report.slips == ("forgotten_rotation",)
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
    edits = [hint for hint in report.hints if hint.kind not in ("held", "mirrored")]
    effects = [normal_form(walk(parse(hint.plan)).turns) for hint in report.hints if hint.plan]
    assert len(set(effects)) == len(effects), "two hints say the same"
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
    assert len(slips(tokens, walk(parse(scramble)), [4]).hints) <= MOST_HINTS + 1


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


# Slips planted in shortest ways, each made in its own way here ------------------------


def _a_way(source, colour):
    """A random scramble of 20 turns, and a shortest way of at least five moves for a colour."""
    while True:
        scramble = random_scramble(source)
        way = source.choice(solve(scramble, colours=[colour])[colour].solutions).split()
        if sum(token[0] in "URFDLB" for token in way) >= 5:
            return scramble, way


def random_scramble(source):
    faces = [source.choice("URFDLB")]
    while len(faces) < 20:
        faces.append(source.choice([face for face in "URFDLB" if face != faces[-1]]))
    return " ".join(face + source.choice(["", "2", "'"]) for face in faces)


def _turned_round(move):
    return move[0] + {"": "'", "'": "", "2": "2"}[move[1:]]


def _in_a_mirror(move, faces):
    here, there = faces
    letter = {here: there, there: here}.get(move[0], move[0])
    across = {"RL": "x", "UD": "y", "FB": "z"}[faces]
    return move if letter == across else _turned_round(letter + move[1:])


@pytest.mark.parametrize("faces", ["RL", "UD", "FB"])
def test_a_plan_in_a_mirror_is_found(faces):
    """Fifty plans of a white cross, each seen in a mirror: none was found before."""
    source = random.Random(faces)
    found = 0
    for _ in range(50):
        scramble, way = _a_way(source, "white")
        report = check_plan(
            scramble, " ".join(_in_a_mirror(move, faces) for move in way), colours=["white"]
        )
        if report.solved or "forgotten_rotation" in report.slips:
            continue
        found += 1
        assert "mirrored" in report.slips
        assert report.hints[-1].kind == "mirrored"
        assert check_plan(scramble, report.hints[-1].plan, colours=["white"]).solved
    assert found > 40


PLANTED = {
    "wrong_direction": lambda way: [*way[:-3], _turned_round(way[-3]), *way[-2:]],
    "last_move_missing": lambda way: way[:-1],
    "move_missing": lambda way: [*way[:-3], *way[-2:]],
    "moves_swapped": lambda way: [*way[:-3], way[-2], way[-3], way[-1]],
    "wrong_layer": lambda way: [*way[:-1], {"R": "L", "L": "U"}.get(way[-1][0], "R") + way[-1][1:]],
    "forgotten_rotation": lambda way: way[1:],
}


@pytest.mark.parametrize("kind", PLANTED)
def test_a_planted_slip_is_among_the_kinds(kind):
    source = random.Random(kind)
    tried = 0
    for _ in range(30):
        scramble, way = _a_way(source, "white")  # begins with the rotation that white needs
        report = check_plan(scramble, " ".join(PLANTED[kind](way)), colours=["white"])
        if report.solved or (
            kind != "forgotten_rotation" and report.slips[:1] == ("forgotten_rotation",)
        ):
            continue
        axes = ["URFDLB".index(move[0]) % 3 for move in way[-4:]]
        if any(one == next_one for one, next_one in pairwise(axes)):
            continue  # a move beside one of its own axis could be told in another way
        tried += 1
        assert kind in report.slips, (scramble, way)
        if kind == "forgotten_rotation":
            assert report.slips == (kind,)
            assert [hint.kind for hint in report.hints] == ["held"]
    assert tried >= 3


def test_one_move_short_is_said_once():
    """With the distance left; a hint that said it again would say nothing."""
    report = check_plan("R D F2 L", "L' F2 D'", colours=["yellow"])
    assert report.missing == "R'"
    assert report.slips == ("last_move_missing",)
    assert report.hints == ()


def test_moves_are_numbered_as_they_count():
    from solverworker.words import hint_in_words

    report = check_plan("R D", "y M M' D y' R'", colours=["yellow"])
    change = next(hint for hint in report.hints if hint.kind == "change")
    assert (change.token, change.move) == (3, 5)
    assert "as move 5" in hint_in_words(change)
