"""Laws that hold for every plan, and the slow twin that checks them the long way."""

from hypothesis import given, settings
from hypothesis import strategies as st

from solverworker.cube.colours import CENTRE_OF_COLOUR, COLOUR_OF_FACE
from solverworker.cube.cross import SOLVED, after
from solverworker.cube.hands import HANDS
from solverworker.cube.holds import HOLDS, RELABEL
from solverworker.cube.turns import FACES, TURN_NAMES, inverse, write_turns
from solverworker.report import COLOURS
from solverworker.review import check_plan, solve
from solverworker.search.cross import distance, shortest_solutions
from tests.reference.slow_plan import distances_along

FAMILIES = [*"URFDLB", *[f + "w" for f in "URFDLB"], *"MESxyz"]
SUFFIXES = ["", "'", "2"]
TOKENS = st.builds(str.__add__, st.sampled_from(FAMILIES), st.sampled_from(SUFFIXES))
PLANS = st.lists(TOKENS, max_size=12).map(" ".join)
SCRAMBLES = st.lists(TOKENS, min_size=1, max_size=20).map(" ".join)
FACE_TURNS = st.lists(st.integers(0, 17), max_size=16)
ALLOWED = st.one_of(st.none(), st.lists(st.sampled_from(COLOURS), min_size=1, unique=True))


def hand_cost(text):
    """Cost of a written solution's turns, without the rotation that it begins with."""
    return HANDS.of(TURN_NAMES.index(token) for token in text.split() if token in TURN_NAMES)


MIRROR = str.maketrans("LR", "RL")


def mirrored(turns):
    """Swap left and right, and every turn's direction."""
    names = [TURN_NAMES[3 * (turn // 3) + 2 - turn % 3] for turn in turns]
    return [TURN_NAMES.index(name.translate(MIRROR)) for name in names]


@given(SCRAMBLES, PLANS)
@settings(max_examples=150)
def test_every_distance_is_that_of_the_slow_twin(scramble, plan):
    slow = distances_along(scramble, plan)
    for colour in COLOURS:
        report = check_plan(scramble, plan, colours=[colour])
        along = [report.distance_start, *(row.distance for row in report.ledger)]
        assert along == slow[colour]


@given(SCRAMBLES, PLANS, ALLOWED)
@settings(max_examples=200)
def test_the_verdict_follows_from_the_slow_twins_distances(scramble, plan, allowed):
    slow = distances_along(scramble, plan)
    report = check_plan(scramble, plan, colours=allowed)
    solved = [colour for colour in COLOURS if slow[colour][-1] == 0]
    assert list(report.solved_colours) == solved
    candidates = [colour for colour in COLOURS if allowed is None or colour in allowed]
    counted = [colour for colour in candidates if colour in solved]
    assert report.solved == bool(counted)
    if counted:
        assert report.colour == min(counted, key=lambda c: slow[c][0])
    else:
        assert slow[report.colour][-1] == min(slow[c][-1] for c in candidates)
    considered = [report.colour] if allowed is None else candidates
    assert report.best == min(slow[colour][0] for colour in considered)
    if report.solved:
        assert report.excess == report.moves - report.best
        assert report.colour_choice == slow[report.colour][0] - report.best
    else:
        assert report.excess is None
        assert report.colour_choice is None


@given(SCRAMBLES, PLANS)
def test_the_ledger_accounts_for_every_move(scramble, plan):
    report = check_plan(scramble, plan)
    assert sum(row.moves for row in report.ledger) == report.moves
    assert (
        sum(row.loss for row in report.ledger)
        == report.moves + report.distance_left - report.distance_start
    )
    assert all(0 <= row.loss <= 2 * row.moves for row in report.ledger)


@given(SCRAMBLES, PLANS, ALLOWED)
def test_what_is_missing_finishes_the_plan_in_so_many_moves(scramble, plan, allowed):
    report = check_plan(scramble, plan, colours=allowed)
    if report.missing is None:
        assert report.solved
        return
    finished = check_plan(scramble, f"{plan} {report.missing}", colours=allowed)
    assert finished.solved
    assert finished.moves == report.moves + report.distance_left


@given(SCRAMBLES)
@settings(max_examples=40)
def test_every_solution_shown_solves_its_colour_in_the_best_number_of_moves(scramble):
    for colour, each in solve(scramble).items():
        for text in each.solutions[:40]:
            report = check_plan(scramble, text, colours=[colour])
            assert report.solved
            assert report.moves == each.best == report.best
        assert len(set(each.solutions)) == len(each.solutions)
        assert list(each.solutions) == sorted(each.solutions, key=lambda t: (hand_cost(t), t))


@given(FACE_TURNS)
def test_every_shortest_solution_read_backwards_makes_the_state(turns):
    state = after(turns)
    assert distance(state) <= len(turns)
    assert after(inverse(turns), state) == SOLVED
    for solution in shortest_solutions(state):
        assert after(solution, state) == SOLVED
        assert after(inverse(solution)) == state


@given(FACE_TURNS)
def test_the_mirror_image_is_equally_far(turns):
    assert distance(after(mirrored(turns))) == distance(after(turns))
    names = write_turns(turns) or "x"
    image = write_turns(mirrored(turns)) or "x'"
    for colour, other in (("yellow", "yellow"), ("white", "white"), ("red", "orange")):
        one = solve(names, colours=[colour])[colour]
        two = solve(image, colours=[other])[other]
        assert one.best == two.best
        assert len(one.solutions) == len(two.solutions)


@given(FACE_TURNS.filter(bool), st.integers(0, 23))
def test_turning_the_whole_cube_turns_the_colours_round(turns, hold):
    """The same turns in another hold do to another colour what they did to the first."""
    told = write_turns(turns)
    relabelled = write_turns(RELABEL[hold][turn] for turn in turns)
    here = solve(told)
    there = solve(relabelled)
    bests = sorted(each.best for each in here.values())
    assert bests == sorted(each.best for each in there.values())
    counts = sorted((each.best, len(each.solutions)) for each in here.values())
    assert counts == sorted((each.best, len(each.solutions)) for each in there.values())


@given(FACE_TURNS.filter(bool), PLANS, st.sampled_from(["x", "y'", "z2", "x y", "z' x2"]))
def test_rotations_before_a_plan_only_rename_its_turns(turns, plan, rotation):
    scramble = write_turns(turns)
    before = check_plan(f"{scramble} {rotation}", plan)
    within = check_plan(scramble, f"{rotation} {plan}")
    skipped = len(rotation.split())
    assert before.ledger == within.ledger[skipped:]
    assert (before.colour, before.solved, before.moves, before.best) == (
        within.colour, within.solved, within.moves, within.best,
    )  # fmt: skip


def colour_seen(hold, colour):
    """The colour whose part another takes when turns are told anew for a hold (``RELABEL``)."""
    place = HOLDS[hold].index(CENTRE_OF_COLOUR[colour])
    return COLOUR_OF_FACE[FACES[place]]


@given(FACE_TURNS.filter(bool), FACE_TURNS)
@settings(max_examples=8)
def test_a_plan_is_worth_the_same_in_all_24_holds_of_scramble_and_plan(turns, plan):
    here = {
        colour: check_plan(write_turns(turns), write_turns(plan), colours=[colour])
        for colour in COLOURS
    }
    for hold, relabel in enumerate(RELABEL):
        scramble = write_turns(relabel[turn] for turn in turns)
        written = write_turns(relabel[turn] for turn in plan)
        for colour, report in here.items():
            there = check_plan(scramble, written, colours=[colour_seen(hold, colour)])
            assert worth(there) == worth(report)


@given(FACE_TURNS.filter(bool), FACE_TURNS)
@settings(max_examples=40)
def test_a_plan_is_worth_the_same_in_the_mirror(turns, plan):
    image = {"red": "orange", "orange": "red"}
    for colour in COLOURS:
        here = check_plan(write_turns(turns), write_turns(plan), colours=[colour])
        there = check_plan(
            write_turns(mirrored(turns)),
            write_turns(mirrored(plan)),
            colours=[image.get(colour, colour)],
        )
        assert worth(there) == worth(here)


def worth(report):
    """What must not change when a cube is only held or seen another way."""
    ledger = [(row.moves, row.distance, row.loss) for row in report.ledger]
    return (
        report.solved, report.moves, report.best, report.excess, report.distance_left,
        report.edges_home, report.shortest_count, ledger,
    )  # fmt: skip


@given(FACE_TURNS.filter(bool))
@settings(max_examples=60)
def test_a_plan_that_takes_the_scramble_back_solves_every_colour(turns):
    """The inverse of the scramble is a plan, and the scramble is one for its inverse."""
    for scramble, plan in ((turns, inverse(turns)), (inverse(turns), turns)):
        report = check_plan(write_turns(scramble), write_turns(plan))
        assert report.solved_colours == COLOURS
        assert report.distance_left == 0
