"""What is said holds: in the member's own hold, in few words, with numbers that add up.

Where a piece lies is read off the cube of numbered stickers
(tests/reference/numbered_cube.py, on SymPy's published generators); what a
move loses off the ledger; how long a sentence may be is our own rule.
"""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solverworker import words
from solverworker.cube.chance import Stream
from solverworker.cube.holds import BOTTOMS, HOLDS
from solverworker.cube.story import story_of
from solverworker.report import COLOURS
from solverworker.review import check_plan, solve
from solverworker.search.scramble import draw_scramble
from solverworker.tongue import NUMBERS
from solverworker.words import vocabulary
from solverworker.words.telling import SENTENCE, TURN, words_in
from tests.reference.numbered_cube import CENTRES, EDGE_STICKERS, follow
from tests.reference.slow_plan import HOME_FACE
from tests.solverworker.test_plan_laws import PLANS, SCRAMBLES
from tests.solverworker.test_words import COLOUR_OF_FACE, ways

NUMBER = {"one": 1} | {name: number for number, name in NUMBERS.items()}
ROTATIONS = ["", "x", "x'", "x2", "z", "z'"]
SPINS = ["", "y", "y'", "y2"]
HELD = st.builds("{} {}".format, st.sampled_from(ROTATIONS), st.sampled_from(SPINS))


def solved_plan(scramble, plan, colours=None):
    """A plan that is finished by what it lacks, and its report."""
    plan = f"{plan} {check_plan(scramble, plan, colours=colours).missing or ''}"
    return check_plan(scramble, plan, colours=colours)


def cube_after(moves):
    """Where each sticker is after some moves: {place: sticker that was there at the start}."""
    return follow(moves)


def lies(cube, colour, edge):
    """The two sides at which an edge lies as held: that of the cross colour, then the other."""
    sides = {place: faces for faces, place in EDGE_STICKERS.items()}
    return sides[cube[EDGE_STICKERS[HOME_FACE[colour], HOME_FACE[edge]]]]


def centres(cube):
    """The colour of the centre at each side as held."""
    face_at = {place: face for face, place in CENTRES.items()}
    return {face_at[cube[place]]: COLOUR_OF_FACE[face] for face, place in CENTRES.items()}


# In the member's own hold ---------------------------------------------------------


def test_the_holds_tried_are_all_twenty_four():
    centres_seen = {
        tuple(sorted(centres(cube_after(f"{rotation} {spin}")).items()))
        for rotation in ROTATIONS
        for spin in SPINS
    }
    assert len(centres_seen) == len(HOLDS) == 24
    assert len(BOTTOMS) == 24


PLACED = re.compile(
    r"the (\w+) edge(?: edge)?(?: in| round to| up| down|, still[^,]*, to)? "
    r"(under|above|below) (\w+)"
)
LAYER = re.compile(
    r"^`(\S+)` (?:gives|turns) the (top|bottom)|^`(\S+)` carries[^.]*round the (top|bottom)"
)


@given(SCRAMBLES, PLANS, HELD, st.sampled_from(COLOURS))
@settings(max_examples=150)
def test_a_story_stands_as_the_member_holds_the_cube(scramble, plan, held, colour):
    """What is called top, bottom, under and above is so in the hands, in all 24 holds."""
    report = solved_plan(scramble, f"{held} {plan}", [colour])
    tokens = report.canonical.split()
    for lost, said in zip(report.lost, words.losses(scramble, report), strict=True):
        if not said.story:
            continue
        before = [scramble, *tokens[: lost.token]]
        at = {seen: side for side, seen in centres(cube_after(" ".join(before))).items()}[colour]
        lines = list(said.story)
        turned = re.match(r"Told with the cube turned by `(\S+)`: (\w+) at the bottom", lines[0])
        assert bool(turned) == (at not in "UD")
        if turned:
            assert turned[2] == colour
            assert (
                f"{centres(cube_after(' '.join([*before, turned[1]])))['F']} in front" in lines[0]
            )
            before.append(turned[1])
            at = "D"
        told = [line for line in lines if line.startswith("`")]
        moves = [line.split("`")[1] for line in told]
        if not turned:
            assert " ".join(moves) == said.way
        for done, line in enumerate(told, start=1):
            cube = cube_after(" ".join([*before, *moves[:done]]))
            stands(line, cube, colour, at)
        assert {lies(cube, colour, e)[0] for e in around(cube, at)} == {at}


def around(cube, at):
    return [
        seen
        for side, seen in centres(cube).items()
        if side not in (at, "UDLRFB"["DURLBF".index(at)])
    ]


def stands(line, cube, colour, at):
    """Check what one line says of sides against the cube after its turn."""
    side_of = {seen: side for side, seen in centres(cube).items()}
    for edge, where, centre in PLACED.findall(line.replace("gap for the", "gap")):
        if edge not in side_of:
            continue
        assert (
            set(lies(cube, colour, edge))
            == {
                "U" if where == "above" else "D",
                side_of[centre],
            }
            or where == "below"
        ), line
    layer = LAYER.search(line)
    if layer:
        move, named = (layer[1], layer[2]) if layer[1] else (layer[3], layer[4])
        assert move[0] == {"top": "U", "bottom": "D"}[named], line
    if "to its own centre" in line and "its own centre" in line:
        assert ("down to" in line) <= (at == "D"), line
        assert ("up to" in line) <= (at == "U"), line


@pytest.mark.parametrize(
    ("held", "where"), [("", "at the bottom"), ("x2", "on top"), ("z", "at the side")]
)
def test_edges_that_fit_lie_where_the_cross_is_held_at_the_end(held, where):
    report = check_plan("R D", f"D R' {held}", colours=["yellow"])
    assert words.edges_that_fit(report) == (
        f"Two more fit together {where}, away from their centres."
    )


FACES_ALONE = st.lists(
    st.sampled_from([f + s for f in "URFDLB" for s in ("", "'", "2")]), max_size=8
)


@given(SCRAMBLES, FACES_ALONE, HELD, st.sampled_from(COLOURS))
@settings(max_examples=300)
def test_the_layer_of_which_turns_are_too_many_is_turned_in_the_plan(scramble, moves, held, colour):
    report = solved_plan(scramble, f"{held} {' '.join(moves)}", [colour])
    start = centres(cube_after(f"{scramble} {held}"))
    cross = next(side for side, seen in start.items() if seen == colour)
    tokens = report.canonical.split()
    for lost, said in zip(report.lost, words.losses(scramble, report), strict=True):
        turned = {token[0] for token in tokens[lost.token :]}
        if "too many" not in said.called:
            continue
        if "the bottom" in said.called or "the top" in said.called:
            assert cross in "UD"
        assert ("the bottom" in said.called) <= ("D" in turned), said.called
        assert ("the top" in said.called) <= ("U" in turned), said.called
        assert ("cross’s layer" in said.called) <= (cross in turned and cross not in "UD")
        assert ("across from" in said.called) <= (
            "DURLBF"["UDLRFB".index(cross)] in turned and cross not in "UD"
        )


@given(SCRAMBLES, st.sampled_from(COLOURS))
@settings(max_examples=30)
def test_a_way_that_begins_with_a_rotation_says_how_the_cube_is_held(scramble, colour):
    way = ways(scramble, colour, most=1)[0]
    rotations = [token for token in way.text.split() if token[0] in "xyz"]
    told = words.story_in_words(scramble, way)
    if rotations and len(told) > 1:
        front = centres(cube_after(" ".join([scramble, *rotations])))["F"]
        assert (
            told[0]
            == f"`{rotations[0]}` first: then {colour} is at the bottom and {front} in front."
        )
    else:
        assert not any(" first: then " in line for line in told)


def test_each_phrase_about_a_side_has_its_twin_for_a_cross_on_top():
    """A phrase with the cross down may not be said of a cross on top."""
    sides = re.compile(r"\b(top|bottom|under|above|down|up|below)\b")
    one_way = {
        text
        for name, text in vars(vocabulary).items()
        if isinstance(text, str) and name.isupper() and sides.search(text)
    }
    told_of_stories = {
        text for text in one_way if "{edge}" in text or "{edges}" in text or "{amount}" in text
    }
    assert told_of_stories - {vocabulary.HOLD_TO_TELL} <= set(vocabulary.ON_TOP)
    assert vocabulary.BASE_HOME in vocabulary.COUNTED_ON_TOP
    for down, up in vocabulary.ON_TOP.items():
        assert sorted(re.findall(r"\{\w+\}", down)) == sorted(re.findall(r"\{\w+\}", up))
        assert up != down


# In few words ---------------------------------------------------------------------


def sentences(text):
    return re.split(r"(?<=\.) (?=[A-Z`])", text)


@pytest.mark.parametrize("number", range(60))
def test_no_sentence_and_no_turn_has_too_many_words(number):
    """Over all shortest ways of crosses of every colour, held at the bottom and on top."""
    assert (SENTENCE, TURN) == (25, 45)
    scramble, colour = draw_scramble(Stream(f"words {number}")), COLOURS[number % 6]
    first = solve(scramble, colours=[colour])[colour].solutions[0]
    for way in check_plan(scramble, first, colours=[colour], shown=2000).shortest:
        up = without_rotation(scramble, way)
        for lines in (words.story_in_words(scramble, way), words.tell(up)):
            for line in lines:
                assert words_in(line) <= 45, line
                assert all(words_in(each) <= 25 for each in sentences(line)), line


def without_rotation(scramble, way):
    """The same way told with the cross on top."""
    rotations = " ".join(token for token in way.text.split() if token[0] in "xyz")
    rest = " ".join(token for token in way.text.split() if token[0] not in "xyz")
    flip = str.maketrans("UDRL", "DULR")
    return story_of(scramble, rest.translate(flip), way.colour, way.ideas, after=f"{rotations} z2")


def test_a_turn_that_moves_all_four_edges_is_told_in_few_words():
    """The longest text among 470,000 turns of shortest ways."""
    scramble = "L2 R2 F2 U R2 U2 B2 R2 F2 U B F R' U2 B L2 F2 R2 U2"
    ways_told = check_plan(scramble, "U L2 F' L' B D' F'", colours=["yellow"]).shortest
    lines = [line for way in ways_told for line in words.story_in_words(scramble, way)]
    assert any(line.count(" edge") == 4 for line in lines)
    assert max(words_in(line) for line in lines) <= 45


@given(SCRAMBLES, PLANS)
@settings(max_examples=100)
def test_no_sentence_about_a_lost_move_has_too_many_words(scramble, plan):
    report = solved_plan(scramble, plan)
    for said in words.losses(scramble, report):
        for text in (said.lost, said.called, said.instead, *said.story):
            assert all(words_in(each) <= 25 for each in sentences(text)), text


# Numbers that add up --------------------------------------------------------------


@given(SCRAMBLES, PLANS)
@settings(max_examples=1000)
def test_the_numbers_of_a_lost_moves_sentences_are_its_loss(scramble, plan):
    """Thousands of random plans, slices and wide moves among them."""
    report = solved_plan(scramble, plan)
    for lost, said in zip(report.lost, words.losses(scramble, report), strict=True):
        row = report.ledger[lost.token]
        loses = re.findall(r"\bloses (\w+) moves?\b", said.lost)
        assert [NUMBER[number] for number in loses] == [row.loss]
        many = re.findall(
            r"\b(one|two|three|four|five|six|seven|eight|nine) turns? (?:of|across)", said.called
        )
        if "too many" in said.called:
            assert sum(NUMBER[number] for number in many) == row.loss, said.called
        else:
            assert not many
        counted = sum(each.moves for each in report.ledger[: lost.token]) + 1
        assert said.number == counted
        assert said.lost.startswith(f"Move {counted}, `{row.token}`, ")
        if row.moves == 2:
            family, suffix = row.token[0], row.token[1:]
            two = {"M": "LR", "E": "DU", "S": "FB"}[family]
            layers = re.search(r"turns `(\S+)` and `(\S+)` and loses", said.lost)
            # WCA 12a3: M as L, E as D, S as F; the two outer layers turn against each other.
            assert (layers[1][0], layers[2][0]) == tuple(two)
            assert ("2" in suffix) == (layers[1].endswith("2") and layers[2].endswith("2"))


def test_moves_are_numbered_as_they_count():
    """A rotation has no number and a slice has two (WCA 12a5)."""
    report = solved_plan("R D", "z2 y M M' x L L'", ["yellow"])
    numbers = {2: 1, 3: 3, 5: 5, 6: 6}
    told = {each.token: each.number for each in words.losses("R D", report)}
    wasted = {token: number for token, number in told.items() if token in numbers}
    assert wasted
    assert wasted.items() <= numbers.items()


@given(SCRAMBLES, PLANS)
@settings(max_examples=300)
def test_what_takes_back_what_is_true_of_the_moves_named(scramble, plan):
    report = solved_plan(scramble, plan)
    counted, numbers = 0, {}
    for row in report.ledger:
        numbers[counted + 1] = row.token
        counted += row.moves
    for said in words.losses(scramble, report):
        pair = re.search(
            r"takes back move (\d+), `(\S+)`|move (\d+), `(\S+)`, takes it back", said.lost
        )
        if pair and "part of" not in said.lost:
            number, token = (pair[1], pair[2]) if pair[1] else (pair[3], pair[4])
            own = said.lost.split("`")[1]
            assert numbers[int(number)] == token
            quarters = [{"'": 3, "2": 2}.get(each[-1], 1) for each in (own, token)]
            assert sum(quarters) % 4 == 0, said.lost


# The gap --------------------------------------------------------------------------


@given(SCRAMBLES, st.sampled_from(COLOURS))
@settings(max_examples=100)
def test_the_gap_comes_to_the_edge_only_where_it_stays(scramble, colour):
    for way in ways(scramble, colour, most=200):
        told = words.story_in_words(scramble, way)
        lines = [line for line in told if not line.startswith("`z") and line.startswith("`")]
        lines = [line for line in lines if " first: then " not in line]
        moves = [line.split("`")[1] for line in lines]
        for index, line in enumerate(lines):
            gap = re.search(r"the gap for the (\w+) edge", line)
            comes = "gap comes to the edge" in line
            if not gap:
                assert not comes, line
                continue
            edge = gap[1]
            goes_in = next(
                later
                for later in range(index + 1, len(lines))
                if re.search(
                    rf"(puts|brings|takes) the {edge} edge (in|down|from the top|back)",
                    lines[later],
                )
                or re.search(rf"the {edge} edge (in under|down to|from the top)", lines[later])
            )
            assert not any(move.startswith("D") for move in moves[index + 1 : goes_in]), told
