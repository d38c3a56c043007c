"""What a plan is worth, line by line.

Worked examples and small vectors: ``tests/data/worked_plans.json``.
"""

import json
from pathlib import Path

import pytest

from solverworker.cube.colours import UnknownColourError
from solverworker.cube.notation import NotationError
from solverworker.report import COLOURS, SHOWN_SOLUTIONS, SOLVER_VERSION, PlanReport
from solverworker.review import check_plan, no_plan, solve

WORKED = json.loads((Path(__file__).parents[1] / "data" / "worked_plans.json").read_text("utf-8"))


@pytest.mark.parametrize("example", WORKED["examples"], ids=lambda e: e["plan"])
def test_the_worked_examples_have_their_distances(example):
    report = check_plan(example["scramble"], example["plan"], colours=["yellow"])
    along = [report.distance_start, *(row.distance for row in report.ledger)]
    assert along == example["distances"]
    assert report.solved
    assert report.best == along[0]
    assert report.excess == len(along) - 1 - along[0] == sum(row.loss for row in report.ledger)


@pytest.mark.parametrize(("scramble", "solution"), WORKED["small"])
def test_the_small_vectors_have_their_solution(scramble, solution):
    found = solve(scramble, colours=["yellow"])["yellow"]
    assert solution in found.solutions
    report = check_plan(scramble, solution, colours=["yellow"])
    assert (report.solved, report.excess) == (True, 0)


def test_a_plan_over_the_best_loses_moves_where_the_ledger_says():
    report = check_plan("R D", "U D' U' R2 R", colours=["yellow"])
    assert report.canonical == "U D' U' R2 R"
    assert (report.moves, report.best, report.excess, report.colour_choice) == (5, 2, 3, 0)
    assert [(row.token, row.moves, row.distance, row.loss) for row in report.ledger] == [
        ("U", 1, 2, 1),
        ("D'", 1, 1, 0),
        ("U'", 1, 1, 1),
        ("R2", 1, 1, 1),
        ("R", 1, 0, 0),
    ]
    assert (report.distance_left, report.missing, report.edges_home) == (0, None, 4)
    assert report.version == SOLVER_VERSION


def test_a_rotation_costs_nothing_and_has_its_row():
    report = check_plan("R D", "x2 U' R' y", colours=["yellow"])
    assert report.solved
    assert report.moves == 2
    assert [(row.token, row.moves, row.loss) for row in report.ledger] == [
        ("x2", 0, 0), ("U'", 1, 0), ("R'", 1, 0), ("y", 0, 0),
    ]  # fmt: skip


def test_a_slice_costs_two_and_carries_the_losses_of_both_turns():
    # M' = L R' x: as held, then x2 takes the bottom back down.
    report = check_plan("L' R", "M'", colours=["yellow"])
    assert report.solved
    assert (report.moves, report.best, report.excess) == (2, 2, 0)
    report = check_plan("R", "M'", colours=["yellow"])
    (row,) = report.ledger
    assert (row.moves, row.distance, row.loss) == (2, 1, 2)
    assert not report.solved


@pytest.mark.parametrize(
    ("plan", "canonical"),
    [
        ("lx'", "Lw x'"),
        ("2Lw x3", "Lw x'"),
        ("(Lw) [x'] // back", "Lw x'"),
        ("R", "R"),
        ("x R3 R2' x'", "x R' R2 x'"),
    ],
)
def test_every_spelling_of_a_turn_is_the_same_turn(plan, canonical):
    report = check_plan("R'", plan, colours=["yellow"])
    assert report.solved
    assert report.canonical == canonical


def test_a_scramble_may_be_written_with_slices_wide_turns_and_rotations():
    plain = check_plan("R L' F", "F' L R'", colours=["yellow"])
    # L' R x' = M, so the front is now what was down, and so on.
    held = check_plan("M x F", "F' R' L", colours=["yellow"])
    assert (plain.solved, plain.best) == (True, 3)
    assert (held.solved, held.best) == (True, plain.best)


def test_the_plan_starts_in_the_hold_in_which_the_scramble_ends():
    # After x the green centre is up and the yellow one in front.
    report = check_plan("R x", "R'", colours=["yellow"])
    assert report.solved
    report = check_plan("F x", "U'", colours=["yellow"])
    assert report.solved
    assert report.shortest[0].text == "x' F'"
    assert solve("F x", colours=["yellow"])["yellow"].solutions == ("x' F'",)


@pytest.mark.parametrize("end", ["", "x", "y'", "z2", "M2 x y", "x y z'"])
def test_a_plan_may_end_in_any_hold(end):
    report = check_plan("R D", f"D' R' {end}", colours=["yellow"])
    rotations_only = "M" not in end
    assert report.solved == rotations_only
    if rotations_only:
        assert report.moves == 2


def test_what_is_missing_is_written_as_held_at_the_end():
    report = check_plan("R D", "D' x2", colours=["yellow"])
    assert (report.solved, report.distance_left, report.missing) == (False, 1, "R'")
    report = check_plan("D R", "R' z2", colours=["yellow"])
    assert (report.distance_left, report.missing, report.edges_home) == (1, "U'", 0)
    assert (report.excess, report.colour_choice) == (None, None)


def test_edges_home_are_counted_against_the_centres():
    report = check_plan("R", "", colours=["yellow"])
    assert (report.edges_home, report.distance_left) == (3, 1)


def test_a_solved_colour_that_is_not_allowed_is_told_and_does_not_count():
    report = check_plan("R U", "U'", colours=["yellow", "white"])
    assert not report.solved
    assert report.solved_colours == ("orange",)
    assert report.colour in ("yellow", "white")
    assert report.excess is None
    free = check_plan("R U", "U'")
    assert (free.solved, free.colour, free.solved_colours) == (True, "orange", ("orange",))
    assert (free.best, free.excess) == (1, 0)


def test_of_several_solved_colours_the_one_nearest_at_the_start_is_judged():
    # After R only orange is solved; the way back solves all six.
    report = check_plan("R", "R'", colours=["white", "yellow", "orange"])
    assert report.solved_colours == COLOURS
    assert (report.colour, report.distance_start, report.best) == ("orange", 0, 0)
    assert (report.excess, report.colour_choice) == (1, 0)
    # All equally near: the first in the order white, yellow, green, blue, red, orange.
    report = check_plan("R", "R'", colours=["blue", "green", "yellow"])
    assert (report.colour, report.best, report.excess) == ("yellow", 1, 0)


def test_colour_choice_is_part_of_the_excess_and_told_apart():
    # Yellow solved alone, from two away, while orange was one away.
    report = check_plan("D R", "R' D' U2", colours=["yellow", "orange"])
    assert report.solved_colours == ("yellow",)
    assert (report.colour, report.distance_start, report.best) == ("yellow", 2, 1)
    assert (report.moves, report.excess, report.colour_choice) == (3, 2, 1)


def test_without_allowed_colours_best_is_that_of_the_colour_judged():
    report = check_plan("D R", "R' D' U2")
    assert (report.colour, report.best, report.excess, report.colour_choice) == ("yellow", 2, 1, 0)
    unsolved = check_plan("D R", "R2 D2")
    least = min(check_plan("D R", "R2 D2", colours=[colour]).distance_left for colour in COLOURS)
    assert unsolved.distance_left == least


def test_an_empty_plan_is_readable_and_has_no_moves():
    report = check_plan("R D", "", colours=["yellow"])
    assert (report.canonical, report.moves, report.ledger) == ("", 0, ())
    assert (report.solved, report.distance_left, report.missing) == (False, 2, "D' R'")
    solved = check_plan("U", "", colours=["yellow"])
    assert (solved.solved, solved.moves, solved.best, solved.excess) == (True, 0, 0, 0)
    assert [each.text for each in solved.shortest] == [""]
    assert [each.text for each in check_plan("D", "", colours=["white"]).shortest] == ["z2"]


def test_a_member_without_a_plan_gets_what_there_was_to_find():
    report = no_plan("R D", colours=["yellow"])
    assert (report.solved, report.moves, report.best) == (False, 0, 2)
    assert [each.text for each in report.shortest] == ["D' R'"]


def test_solutions_nearest_to_the_plan_come_first():
    scramble = "U' L' B' L' B' D' U L2 R D B F' B' U"
    for wanted in solve(scramble, colours=["yellow"])["yellow"].solutions:
        report = check_plan(scramble, f"{wanted} R R'", colours=["yellow"])
        assert report.shortest[0].text == wanted
        # Held and written another way, and with commuting neighbours swapped.
        report = check_plan(scramble, f"x x' {wanted}", colours=["yellow"])
        assert report.shortest[0].text == wanted


def test_nearness_does_not_hang_on_order_inside_a_moment_or_on_the_hold():
    scramble = "F2 B U2 D' U2 L R D L' F' B L U D"
    first = check_plan(scramble, "F D2 R L U", colours=["yellow"]).shortest
    assert check_plan(scramble, "F D2 L R U", colours=["yellow"]).shortest == first
    assert check_plan(scramble, "y R D2 B F U", colours=["yellow"]).shortest == first
    assert first[0].text == "F D2 R L B D"


def test_several_colours_equally_near_share_the_list():
    report = check_plan("R", "", colours=["white", "yellow"])
    assert report.shortest_count == 2
    assert {(each.colour, each.text) for each in report.shortest} == {
        ("white", "z2 L'"),
        ("yellow", "R'"),
    }


def test_the_list_is_cut_and_the_count_is_not():
    scramble = next(
        s
        for s in (f"R U F D L B {x} R2 U2" for x in ("F", "F2", "U L", "L2 F", "D2 L"))
        if len(solve(s, colours=["yellow"])["yellow"].solutions) > SHOWN_SOLUTIONS
    )
    report = check_plan(scramble, "", colours=["yellow"])
    assert len(report.shortest) == SHOWN_SOLUTIONS < report.shortest_count


def test_strict_is_about_the_plan_alone():
    assert check_plan("(R D)", "D' R'", strict=True).solved
    with pytest.raises(NotationError) as caught:
        check_plan("R D", "D'R'", strict=True)
    assert (caught.value.kind, caught.value.where) == ("not_in_strict", "plan")


@pytest.mark.parametrize(
    ("scramble", "plan", "where", "kind"),
    [
        ("", "R", "scramble", "empty"),
        ("// only words", "R", "scramble", "empty"),
        ("R Q", "R", "scramble", "unknown"),
        ("R", "R4", "plan", "suffix"),
        ("R", "R " * 81, "plan", "too_long"),
        ("R " * 201, "R", "scramble", "too_long"),
    ],
)
def test_an_error_says_which_text_it_is_in(scramble, plan, where, kind):
    with pytest.raises(NotationError) as caught:
        check_plan(scramble, plan)
    assert (caught.value.where, caught.value.kind) == (where, kind)


def test_colours_that_are_none_are_refused():
    with pytest.raises(UnknownColourError, match="`pink` is not a cross colour"):
        check_plan("R", "", colours=["white", "pink"])
    with pytest.raises(ValueError, match="At least one colour"):
        check_plan("R", "", colours=[])


def test_a_report_survives_the_way_through_json():
    report = check_plan("R D", "D' M")
    assert PlanReport.from_dict(json.loads(json.dumps(report.to_dict()))) == report
