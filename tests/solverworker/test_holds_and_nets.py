"""Holds and spellings against the geometry of stickers, and the drawn net.

The colours' places: WCA 4d1 (white up, green in front).
"""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solverworker.cube.holds import BOTTOMS, EFFECTS, HOLDS, RELABEL, UNLABEL, walk
from solverworker.cube.net import net, net_steps
from solverworker.cube.notation import NotationError, parse
from solverworker.cube.stickers import SOURCES
from solverworker.cube.turns import FACES, TURN_NAMES, write_turns
from solverworker.cube.whole import after, faces_of_stickers
from solverworker.report import COLOURS
from tests.reference import numbered_cube
from tests.reference.slow_plan import HOME_FACE

FAMILIES = [*"URFDLB", *[f + "w" for f in "URFDLB"], *"MESxyz"]
PLANS = st.lists(
    st.builds(str.__add__, st.sampled_from(FAMILIES), st.sampled_from(["", "'", "2"])), max_size=20
).map(" ".join)

# The reference's places in the order in which a net lists them.
CELLS = {
    face: [
        number + (index if index < 4 else index - 1) if index != 4 else numbered_cube.CENTRES[face]
        for index in range(9)
    ]
    for face, number in (("U", 1), ("L", 9), ("F", 17), ("R", 25), ("B", 33), ("D", 41))
}


def reference_net(text):
    cube = numbered_cube.follow(text)
    face_there = {goal: numbered_cube.FACE_OF_PLACE[start] for start, goal in cube.items()}
    colour = {face: name for name, face in HOME_FACE.items()}
    return {face: tuple(colour[face_there[cell]] for cell in CELLS[face]) for face in FACES}


def test_there_are_24_holds_and_each_token_permutes_them():
    assert len(set(HOLDS)) == 24
    for steps in EFFECTS.values():
        assert sorted(step.hold for step in steps) == list(range(24))


@given(PLANS.filter(bool))
def test_the_net_shows_what_the_numbered_cube_shows(text):
    assert net(text) == reference_net(text)


@given(PLANS)
def test_every_spelling_is_face_turns_of_centres_and_a_hold(text):
    """Pieces turned against the centres, then held as the walk says, are the stickers."""
    stickers = [face for face in FACES for _ in range(9)]
    for token in parse(text):
        source = SOURCES[token.family, token.quarters]
        stickers = [stickers[place] for place in source]
    walked = walk(parse(text))
    assert [stickers[9 * place + 4] for place in range(6)] == [
        FACES[centre] for centre in HOLDS[walked.hold]
    ]
    # Undo the hold by rotations alone, then compare piece by piece.
    home = next(
        rotations
        for first in ("", "x", "x2", "x'", "z", "z'")
        for second in ("", "y", "y2", "y'")
        if walk(parse(rotations := f"{first} {second}"), walked.hold).hold == 0
    )
    for token in parse(home):
        source = SOURCES[token.family, token.quarters]
        stickers = [stickers[place] for place in source]
    assert tuple(stickers) == faces_of_stickers(after(walked.turns))


def test_a_slice_turns_the_face_that_it_follows_first():
    assert write_turns(walk(parse("M")).turns) == "L' R"
    assert write_turns(walk(parse("E")).turns) == "D' U"
    assert write_turns(walk(parse("S")).turns) == "F' B"


def test_relabelling_there_and_back_is_nothing():
    for hold in range(24):
        assert [UNLABEL[hold][RELABEL[hold][turn]] for turn in range(18)] == list(range(18))
        rotated = [FACES[HOLDS[hold][place]] for place in range(6)]
        assert write_turns(UNLABEL[hold][3 * place] for place in range(6)) == " ".join(rotated)


def test_from_the_starting_hold_each_colour_has_its_rotation():
    rotations = {colour: BOTTOMS[0][FACES.index(HOME_FACE[colour])].rotation for colour in COLOURS}
    assert rotations == {
        "white": "z2", "yellow": "", "green": "x'", "blue": "x", "red": "z", "orange": "z'",
    }  # fmt: skip


@pytest.mark.parametrize("hold", range(24))
def test_the_rotation_brings_the_centre_to_the_bottom_from_every_hold(hold):
    for centre in range(6):
        rotation, after_it = BOTTOMS[hold][centre]
        assert HOLDS[after_it][FACES.index("D")] == centre
        assert walk(parse(rotation), hold).hold == after_it


def test_a_net_names_nine_colours_a_face():
    shown = net("R")
    assert list(shown) == list("URFDLB")
    assert shown["U"] == ("white", "white", "green") * 3
    assert shown["B"] == ("white", "blue", "blue") * 3
    assert shown["D"] == ("yellow", "yellow", "blue") * 3
    with pytest.raises(NotationError) as caught:
        net("")
    assert (caught.value.kind, caught.value.where) == ("empty", "scramble")


@given(PLANS.filter(bool), PLANS)
def test_steps_go_from_the_scramble_to_the_end_of_the_plan(scramble, plan):
    steps = net_steps(scramble, plan)
    assert len(steps) == len(plan.split()) + 1
    assert steps[0] == net(scramble)
    assert steps[-1] == net(f"{scramble} {plan}")


def test_an_error_of_the_steps_says_in_which_text():
    with pytest.raises(NotationError) as caught:
        net_steps("R Q", "R")
    assert caught.value.where == "scramble"
    with pytest.raises(NotationError) as caught:
        net_steps("R", "R Q")
    assert caught.value.where == "plan"


def test_every_net_has_nine_of_each_colour():
    generator = random.Random(5)
    scramble = " ".join(generator.choice(TURN_NAMES) for _ in range(25))
    stickers = [name for face in net(scramble).values() for name in face]
    assert {colour: stickers.count(colour) for colour in COLOURS} == dict.fromkeys(COLOURS, 9)
