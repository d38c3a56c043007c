"""Ways and lost moves in words: true, complete, one vocabulary."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solverworker import words
from solverworker.cube.story import story_of
from solverworker.cube.turns import write_turns
from solverworker.report import COLOURS
from solverworker.review import check_plan, solve
from solverworker.techniques import TECHNIQUES
from solverworker.words.telling import tell
from tests.reference.numbered_cube import CENTRES, EDGE_STICKERS, follow
from tests.reference.slow_plan import HOME_FACE
from tests.solverworker.test_blame import WORKED
from tests.solverworker.test_plan_laws import FACE_TURNS, PLANS, SCRAMBLES

COLOUR_OF_FACE = {face: colour for colour, face in HOME_FACE.items()}


def ways(scramble, colour, most=6):
    """Some shortest solutions with their ideas, as a report holds them."""
    first = solve(scramble, colours=[colour])[colour].solutions[0]
    return check_plan(scramble, first, colours=[colour], shown=most).shortest


# What is told is true ------------------------------------------------------------


@given(SCRAMBLES, st.sampled_from(COLOURS))
@settings(max_examples=60)
def test_every_place_told_is_where_the_numbered_cube_has_the_edge(scramble, colour):
    face_at = {place: face for face, place in CENTRES.items()}
    sides = {place: faces for faces, place in EDGE_STICKERS.items()}
    for way in ways(scramble, colour, most=3):
        story = story_of(scramble, way.text, colour, way.ideas)
        tokens = way.text.split()
        rotations = [token for token in tokens if token[0] in "xyz"]
        assert [beat.token for beat in story.beats] == tokens[len(rotations) :]
        for done, beat in enumerate(story.beats, start=len(rotations) + 1):
            cube = follow(" ".join([scramble, *tokens[:done]]))
            centre = {face_at[cube[place]]: COLOUR_OF_FACE[face] for face, place in CENTRES.items()}
            assert centre["D"] == colour
            for moved in beat.moved:
                lies = sides[cube[EDGE_STICKERS[HOME_FACE[colour], HOME_FACE[moved.edge]]]]
                cross_side, other_side = lies
                told = moved.end
                layer = {"U": "top", "D": "bottom"}
                assert told.layer == layer.get(cross_side, layer.get(other_side, "middle"))
                around = {centre[side] for side in lies if side in "FRBL"}
                assert set(told.centres) == around
                if told.layer != "middle":
                    assert told.turned == (cross_side not in "UD")


@given(SCRAMBLES, st.sampled_from(COLOURS))
@settings(max_examples=60)
def test_every_technique_is_named_in_the_turn_in_which_it_happens(scramble, colour):
    for way in ways(scramble, colour, most=4):
        told = words.story_in_words(scramble, way)
        story = story_of(scramble, way.text, colour, way.ideas)
        lines = told[len(told) - len(story.beats) :]
        for idea in way.ideas:
            name = words.name_of(idea.technique)
            places = [index for index in idea.turns if name in lines[index]]
            assert places, (name, lines)
        for index, line in enumerate(lines):
            assert line.startswith(f"`{story.beats[index].token}` ")
            assert line.endswith(".")
            for technique in TECHNIQUES:
                if words.name_of(technique) in line:
                    assert technique in story.beats[index].ideas


@given(SCRAMBLES, st.sampled_from(COLOURS))
@settings(max_examples=40)
def test_an_edge_and_its_place_are_named_by_colour_in_every_turn(scramble, colour):
    for way in ways(scramble, colour, most=3):
        story = story_of(scramble, way.text, colour, way.ideas)
        lines = words.story_in_words(scramble, way)[-len(story.beats) :] if story.beats else ()
        for beat, line in zip(story.beats, lines, strict=True):
            if "all four edges" in line:
                continue
            # A turn of the bottom is told by the edge for which it is made.
            edges = {moved.edge for moved in beat.moved} | {*(beat.next or ())[:1]}
            assert any(f"the {edge} edge" in line for edge in edges) or "edges" in line
        assert not any(re.search(rf"\b{colour}\b", line) for line in lines)


@given(FACE_TURNS.filter(bool))
@settings(max_examples=40)
def test_a_story_is_the_same_in_all_four_holds(turns):
    """Edges and places are told by colours, so only the letters of the moves differ."""
    told = write_turns(turns)
    for way in ways(told, "yellow", most=2):
        rest = " ".join(token for token in way.text.split() if token[0] not in "xyz")
        for rotation in ("y", "y'", "y2"):
            plain = without_moves(tell(story_of(told, rest, "yellow", way.ideas)))
            by = {"y": "RBLF", "y'": "LFRB", "y2": "BLFR"}[rotation]
            names = dict(zip(by, "FRBL", strict=True)) | {"U": "U", "D": "D"}
            seen = " ".join(names[token[0]] + token[1:] for token in rest.split())
            turned = tell(story_of(f"{told} {rotation}", seen, "yellow", way.ideas))
            assert without_moves(turned) == plain


def without_moves(lines):
    return [re.sub(r"`[^`]*`", "`move`", line) for line in lines]


def test_the_story_of_the_worked_example():
    case = WORKED[0]
    report = check_plan(case["scramble"], case["plan"], colours=["yellow"])
    assert words.story_in_words(case["scramble"], report.shortest[0]) == (
        "The red edge is at the bottom already, under blue.",
        "`F` brings the green edge into the middle between green and orange, ready for `L`.",
        "`D2` turns the bottom until the gap for the blue edge lies under red. It also carries the "
        "orange edge, still the wrong way round, to under orange, ready for `L`. That is a base "
        "turn: the gap comes to the edge.",
        "`R` puts the blue edge in under red, next to the red edge. That is a relative build: the "
        "two belong side by side, though not here yet.",
        "`L` is a shared turn: it puts the green edge in under orange, next to the red edge. It "
        "also brings the orange edge into the middle between blue and orange, ready for `B`.",
        "`B` puts the orange edge in under blue, next to the blue edge.",
        "`D` gives the bottom a quarter turn, and all four edges come home together.",
    )


def test_a_flipped_edge_insert_and_a_step_aside_are_told_from_out_to_back():
    told = words.story_in_words("R B R'", ways("R B R'", "yellow")[0])
    assert told == (
        "The green and orange edges are home already.",
        "`R` lifts the red edge out of the bottom for a moment. It also brings the blue edge into "
        "the middle between blue and red, ready for `B'`. A flipped-edge insert begins: now there "
        "is room.",
        "`B'` brings the blue edge down to its own centre.",
        "`R'` puts the red edge back. That completes the flipped-edge insert. The cross is done.",
    )
    scramble, solution = TECHNIQUES["step_aside"].example
    way = next(way for way in ways(scramble, "yellow") if way.text == solution)
    assert any("comes back with" in line for line in words.story_in_words(scramble, way))


def test_a_story_is_told_of_complete_ways_alone():
    with pytest.raises(ValueError, match="solve the cross"):
        story_of("R D", "D'", "yellow")
    assert tell(story_of("U", "", "yellow")) == ()


# Lost moves ----------------------------------------------------------------------


@given(SCRAMBLES, PLANS)
@settings(max_examples=60)
def test_each_lost_move_comes_with_a_way_that_is_enough(scramble, plan):
    start = check_plan(scramble, plan)
    plan = f"{plan} {start.missing or ''}"
    report = check_plan(scramble, plan)
    assert report.solved
    tokens = report.canonical.split()
    assert [lost.token for lost in report.lost] == [
        place for place, row in enumerate(report.ledger) if row.loss
    ]
    told = words.losses(scramble, report)
    for lost, said in zip(report.lost, told, strict=True):
        before = " ".join(tokens[: lost.token])
        left = report.ledger[lost.token - 1].distance if lost.token else report.distance_start
        mended = check_plan(scramble, f"{before} {lost.way.text}", colours=[report.colour])
        assert mended.solved
        assert len(lost.way.text.split()) == left
        assert set(lost.missing) <= {idea.technique for idea in lost.way.ideas}
        assert lost.loss == report.ledger[lost.token].loss
        assert said.lost.endswith(".")
        assert bool(said.called) == (lost.kind in ("idea", "spare"))
        assert len(said.story) >= left


@pytest.mark.parametrize(
    ("plan", "expected"),
    [
        ("D' R' U U'", [("joined", None), ("taken_back", (2, 3))]),
        ("D D2 R'", [("joined", (0, 1))]),
        ("D' L R' L'", [("taken_back", (1, 3))]),
    ],
)
def test_moves_taken_back_or_made_in_two_are_told_as_such(plan, expected):
    report = check_plan("R D", plan, colours=["yellow"])
    assert report.solved
    kinds = {(lost.kind, lost.span) for lost in report.lost}
    wanted = {each for each in expected if each[1] is not None}
    assert kinds == wanted


def test_a_cross_that_comes_again_is_told_as_such():
    # R L F B with all taken back in another order: no two turns of one face meet.
    report = check_plan("R D", "R U R' U' R U R' U' R U R' U' R U R' U' R U R' U' R U R' U' D' R'")
    assert report.solved
    assert {lost.kind for lost in report.lost} == {"again"}
    assert "back where it began" in words.losses("R D", report)[0].lost


def test_what_was_lost_and_called_for_reads_as_it_should():
    case = WORKED[0]
    report = check_plan(case["scramble"], case["plan"], colours=["yellow"])
    first = words.losses(case["scramble"], report)[0]
    assert (first.lost, first.called, first.instead) == (
        "Move 1, `D2`, loses one move.",
        "Every shortest way from there uses a relative build, and the plan from there does not.",
        "From there `F D2 R L B D` is enough.",
    )
    spare = words.losses(
        WORKED[2]["scramble"], check_plan(WORKED[2]["scramble"], WORKED[2]["plan"])
    )
    assert "one turn of a side too many" in spare[0].called
    taken = check_plan("R D", "D' R' U U'", colours=["yellow"])
    assert words.losses("R D", taken)[-1].lost == (
        "Move 4, `U'`, loses one move: it takes back move 3, `U`."
    )


def test_an_unsolved_plan_is_told_what_it_achieved_and_what_may_have_slipped():
    report = check_plan("R D", "D R'", colours=["yellow"])
    assert words.unsolved(report) == (
        "Three moves short.",
        "`R D2 R'` would finish it.",
        "One of the four yellow edges is home.",
        "Two more fit together at the bottom, away from their centres.",
    )
    assert words.hint_in_words(report.hints[0]) == (
        "With `D'` in place of `D` as move 1 it would be solved."
    )
    assert words.unsolved(check_plan("R D", "D' R'", colours=["yellow"])) == ()
    assert words.unsolved(check_plan("R D", "", colours=["yellow"])) == ()
    assert words.other_scramble(3) == "The plan solves scramble 3 of this set."


def test_handling_in_words():
    report = check_plan("R D", "z2 U' y B", colours=["yellow"])
    assert words.handling_in_words(report.handling) == (
        "The cross ends on top: the cube has to be turned over before the first pair.",
        "The cube is turned in the hands once after the first move.",
        "One move turns the back.",
    )
