"""What a verdict says in words: lost moves, ways turn by turn, slips, handling."""

from __future__ import annotations

import re
from datetime import timedelta

from django.utils import translation

from tests.conftest import NOON, Given
from tests.web.conftest import ROOT, reader_for, words
from training.models import Membership
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
    assert "Every shortest way from there uses a relative build, and the plan does not." in said
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
    # The ledger counts the same three: move, moves left, what it did.
    assert "F2 6 lost 1 move" in said
    assert "U2 6 lost 2 moves" in said
    assert "more lost move" not in said


def test_every_shortest_way_is_told_turn_by_turn(member, given) -> None:
    said = page(member, given, "F D2 R L B D")
    assert "No move was lost." in said
    assert said.count("In words") == 3
    assert said.count("is a shared turn: it puts") == 3


def test_a_move_taken_back_is_told_with_its_fellow(member, given) -> None:
    said = page(member, given, "D' L L' R'", scrambles=("R D",))
    assert "What was enough" in said
    assert "is taken back by move 3" in said


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
    assert "Noted, never counted:" in said
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
    assert "Every shortest way from there uses a relative build, and the plan does not." in said
    assert "all four edges come home together" in said
