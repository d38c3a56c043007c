"""What a verdict says in words: lost moves, ways turn by turn, slips, handling."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.utils import translation
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st

from solverworker.cube.own_hold import as_held
from solverworker.report import COLOURS
from solverworker.review import check_plan, solve
from tests.conftest import NOON, Given
from tests.solverworker.test_plan_laws import PLANS, SCRAMBLES
from tests.solverworker.test_words_are_true import HELD
from tests.web.conftest import ROOT, reader_for, words
from training.models import Membership, PracticeDue, Scramble
from training.services.practice import prepare
from training.web.parts.stepper import make_stepper, say_further
from training.web.saying.plans import first_loss, unsolved_help
from training.web.saying.stories import set_as_moves

LONG = "F2 B U2 D' U2 L R D L' F' B L U D"


def page(member: Membership, given: Given, plan: str, scrambles=(LONG,), number: int = 1) -> str:
    today = given.a_set(scrambles=scrambles)
    given.a_plan(member, today, number, plan)
    return words(reader_for(member).get(f"{ROOT}/sets/{today.pk}/{number}/"))


def test_the_first_lost_move_says_what_the_position_called_for(member, given) -> None:
    said = page(member, given, "D2 B' D F L U' F2 B")
    assert "What the position called for" in said
    assert "Move 1, D2 , loses one move." in said or "Move 1, D2, loses one move." in said
    assert (
        "Every shortest way from there uses a relative build, and the plan from there does not."
        in said
    )
    assert "F D2 R L B D" in said
    assert "The red edge is at the bottom already, under blue." in said
    assert "One more move that lost something" in said


def test_a_second_losing_move_that_lost_two_is_not_counted_as_one_lost_move(member, given) -> None:
    """Moves that lost something and moves lost are two things: here two moves lost three."""
    said = page(member, given, "F2 R U2 B L' D2 F B' D'")
    assert "Solved in 9 moves. The best is 6." in said
    assert re.search(r"Move 1, F2 ?, loses one move\.", said)
    assert "One more move that lost something" in said
    assert re.search(r"Move 3, U2 ?, loses two moves\.", said)
    # The ledger counts the same three: move (as it is read aloud, too), moves left, what it did.
    assert "F2 F twice 6 lost 1 move" in said
    assert "U2 U twice 6 lost 2 moves" in said
    assert "more lost move" not in said


def test_every_shortest_way_is_told_turn_by_turn(member, given) -> None:
    said = page(member, given, "F D2 R L B D")
    assert "No move was lost." in said
    assert said.count("In words") == 3
    assert said.count("is a shared turn: it puts") == 3


def test_a_move_taken_back_is_told_with_its_fellow(member, given) -> None:
    said = page(member, given, "D' L L' R'", scrambles=("R D",))
    assert "What was enough" in said
    assert re.search(r"Move 2, L ?, loses two moves: move 3, L' ?, takes it back\.", said)


def test_a_slip_is_a_hint_and_changes_nothing(member, given) -> None:
    said = page(member, given, "D R'", scrambles=("R D",))
    assert "Not solved: 3 moves short." in said
    assert "It may be a slip:" in said
    assert "in place of" in said
    assert "Two more fit together at the bottom, away from their centres." in said


def test_another_scramble_is_named_only_when_its_answers_are_open(member, given) -> None:
    """Scramble 2's solution written for scramble 1."""
    today = given.a_set(scrambles=("R D", "F2 L D B"))
    given.a_plan(member, today, 1, "B' D' L' F2")
    address = f"{ROOT}/sets/{today.pk}/1/"
    hint = "The plan solves scramble 2 of this set."
    assert hint not in words(reader_for(member).get(address))
    given.a_plan(member, today, 2, "L")
    assert hint in words(reader_for(member).get(address))


def test_handling_is_noted_beside_the_plan(member, given) -> None:
    said = page(member, given, "D' y B'", scrambles=("R D",))
    assert "Noted, never counted." in said
    assert "The cube is turned in the hands once after the first move." in said
    assert "One move turns the back." in said
    assert "The cross ends" not in said, "it is not solved"


def test_where_a_solved_cross_ends_is_noted(member, given) -> None:
    assert "The cross ends at the bottom" in page(member, given, "D' R'", scrambles=("R D",))


def test_a_verdict_by_older_rules_shows_without_words(member, given) -> None:
    from training.models import Verdict

    closed = given.a_set(opens=NOON - timedelta(days=2), closes=NOON - timedelta(days=1))
    plan = given.a_plan(member, closed, 1, "D D2 R'", at=NOON - timedelta(days=2, hours=-1))
    newer = ("techniques", "handling", "lost", "edges_relative", "hints")
    report = {name: value for name, value in plan.verdict.report.items() if name not in newer}
    report["shortest"] = [{"colour": "yellow", "text": "D' R'"}]
    Verdict.objects.filter(plan=plan).update(report=report | {"version": 1}, rules_version=1)
    said = words(reader_for(member).get(f"{ROOT}/sets/{closed.pk}/1/"))
    assert "Solved in 3 moves. The best is 2." in said
    assert "What the position called for" not in said
    assert "brings the red edge down to its own centre" in said


def test_moves_are_set_as_moves_and_the_rest_is_escaped() -> None:
    with translation.override("en"):
        assert set_as_moves("`R'` & <b>") == '<b class="moves">R&#x27;</b> &amp; &lt;b&gt;'


def test_the_worked_cross_of_the_first_page_is_told_in_words(client) -> None:
    said = words(client.get("/").content.decode())
    assert (
        "Every shortest way from there uses a relative build, and the plan from there does not."
        in said
    )
    assert "all four edges come home together" in said


# How the cross moved ---------------------------------------------------------------


@drawn(SCRAMBLES, PLANS)
@settings(max_examples=300)
def test_how_near_the_first_losing_move_brought_the_cross_is_what_the_ledger_says(
    scramble, plan
) -> None:
    report = check_plan(scramble, plan)
    lost = first_loss(report.ledger)
    if lost is None:
        assert not any(row.loss for row in report.ledger)
        return
    row, said = lost
    place = report.ledger.index(row)
    assert not any(one.loss for one in report.ledger[:place])
    before = report.ledger[place - 1].distance if place else report.distance_start
    further = re.search(r"took the cross (\d) moves? further away", said)
    nearer = re.search(r"brought the cross only (\d) moves? nearer", said)
    told = int(further[1]) if further else -int(nearer[1]) if nearer else 0
    assert told == row.distance - before
    assert ("no nearer" in said) == (row.distance == before)
    assert ("counts 2" in said) == (row.moves == 2)


# Whose way it is, and how it is held ------------------------------------------------


def test_an_exact_plan_is_marked_as_one_of_the_shortest(member, given) -> None:
    said = page(member, given, "F D2 R L B D")
    assert said.count("This one is yours.") == 1


def test_a_longer_plan_is_not_marked_as_one_of_the_shortest(member, given) -> None:
    assert "This one is yours." not in page(member, given, "D2 B' D F L U' F2 B")


@drawn(SCRAMBLES, st.sampled_from(COLOURS), HELD, st.randoms(use_true_random=False))
@settings(max_examples=60)
def test_of_the_shortest_ways_that_are_listed_an_exact_plan_is_one(
    scramble, colour, held, chance
) -> None:
    """The cross held in any of the 24 ways, the ways written as the member holds it."""
    first = solve(scramble, colours=[colour])[colour].solutions[0]
    every = check_plan(scramble, first, colours=[colour], shown=400).shortest
    own = as_held(scramble, held, chance.choice(every).text)
    report = check_plan(scramble, own, colours=[colour])
    assert report.excess == 0
    shown = make_stepper(scramble, report, name="Your plan")
    ways = [*shown.nearest, *shown.further]
    if report.moves:
        assert [way.number for way in ways if way.own] == [1]
    rotations = own.split()[: len(own.split()) - report.moves]
    for way in ways:
        assert way.text.split()[: len(rotations)] == rotations
        mended = check_plan(scramble, way.text, colours=[colour])
        assert (mended.solved, mended.excess) == (True, 0)


def test_a_wrongly_claimed_solved_cross_is_told_as_that(member, second, given) -> None:
    today = given.a_set(scrambles=("R D",))
    given.a_plan(member, today, 1, "")
    given.a_plan(second, today, 1, None)
    address = f"{ROOT}/sets/{today.pk}/1/"
    claimed = words(reader_for(member).get(address))
    assert "Handed in as already solved, and it is not: 2 moves are needed." in claimed
    assert "No plan." not in claimed
    without = words(reader_for(second).get(address))
    assert "No plan. The best is 2." in without
    assert "already solved" not in without


@pytest.mark.parametrize(
    ("plan", "said"),
    [
        ("D' R'", "and your plan uses it where it is called for."),
        ("R U' R' B2 D'", "Your plan misses it, so the idea comes back."),
        ("U", "Without a plan that solves it the idea counts as missed, and comes back."),
    ],
)
def test_the_idea_that_a_practice_cross_was_picked_for_is_named(member, given, plan, said) -> None:
    PracticeDue.objects.create(membership=member, code="base_turn", due_on=NOON.date())
    made = prepare(membership=member, now=NOON)
    Scramble.objects.create(scramble_set=made, number=1, text="R D")
    given.a_plan(member, made, 1, plan)
    told = words(reader_for(member).get(f"{ROOT}/sets/{made.pk}/1/"))
    assert f"This cross was picked for a base turn. {said}" in told or (
        f"This cross was picked for a base turn, {said}" in told
    )


def test_a_cross_of_the_club_is_picked_for_nothing(member, given) -> None:
    assert "was picked for" not in page(member, given, "D' R'", scrambles=("R D",))


def test_a_forgotten_rotation_that_explains_everything_is_said_first_and_alone(
    member, given
) -> None:
    # Scramble `R D` with yellow on top: what `D' R'` does below, `U' L'` does after z2.
    said = page(member, given, "U' L'", scrambles=("R D",))
    assert "With z2 first, this plan solves in 2, exactly the best." in said
    assert "It was read as held with white on top." in said
    for other in ("It may be a slip", "Not solved", "edges is home", "One way to finish"):
        assert other not in said


def test_one_story_is_told_once_and_each_has_a_name_of_its_own(member, given) -> None:
    said = page(member, given, "L L' D' R'", scrambles=("R D",))
    assert said.count("Told above.") == 1
    assert "This one is yours." not in said


def test_two_losses_with_the_same_way_are_told_once(member, given) -> None:
    # The top does nothing for the yellow cross: after either turn of it, D' R' is still enough.
    today = given.a_set(scrambles=("R D",))
    given.a_plan(member, today, 1, "U U D' R'")
    shown = reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/")
    assert "One more move that lost something" in words(shown)
    # Way 1 is the shortest, 2 and 3 stand instead of the lost moves: the words of 2 alone are seen.
    assert re.findall(r'<div\s+data-words="(\d)"\s*>', shown) == ["2"]
    assert sorted(re.findall(r'<div\s[^>]*data-words="(\d)"\s+hidden', shown)) == ["3"]
    assert words(shown).count("Told above.") == 2


def test_an_exact_plan_is_marked_and_each_story_has_a_name_of_its_own(member, given) -> None:
    said = page(member, given, "D' R'", scrambles=("R D",))
    assert "This one is yours." in said
    assert "In words , Shortest way 1 of 1" in said


def test_folded_ways_and_an_untold_step_have_words(member, given) -> None:
    """Of each way it is said that it is one; before the first move, what comes in its place."""
    report = check_plan(LONG, "D2 B' D F L U' F2 B", colours=["yellow"])
    shown = make_stepper(LONG, report, name="Your plan", way=1)
    assert shown.stepped.said == "Shortest way 1. Before the first move: 6 moves left"
    said = page(member, given, "D R", scrambles=("R D",))
    assert "What each move does is told here." in said


@pytest.mark.parametrize(
    ("listed", "there_are", "said"),
    [
        (4, 4, "One more shortest way"),
        (12, 12, "9 more shortest ways"),
        (12, 34, "9 more shortest ways. There are 34 in all."),
    ],
)
def test_the_fold_says_what_it_holds(listed: int, there_are: int, said: str) -> None:
    assert say_further(listed, there_are) == said


@pytest.mark.parametrize(
    ("plan", "said"),
    [
        ("z2", "1 of the 4 white edges is home at the end."),
        ("z2 F2 U B2", "2 of the 4 white edges are home at the end."),
    ],
)
def test_edges_at_home_are_counted_in_the_number_of_the_sentence(plan: str, said: str) -> None:
    scramble = "L' B' L' U2 B D F' B2 U L D2 F2 B2 L2 U' L2 F2 D' F2 R2 U"
    assert unsolved_help(check_plan(scramble, plan, colours=["white"])) == said
