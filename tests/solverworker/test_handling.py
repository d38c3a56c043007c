"""Handling: where the cross ends, rotations, turns at the back, half turns.

What is worth noting is common practice, no source; which token is what is
WCA article 12 (12a2 outer blocks, 12a4 rotations).
"""

import pytest
from hypothesis import given

from solverworker.cube.net import net_steps
from solverworker.report import COLOURS, Handling
from solverworker.review import check_plan
from tests.solverworker.test_plan_laws import PLANS, SCRAMBLES


@pytest.mark.parametrize(
    ("plan", "expected"),
    [
        ("D' R'", ("bottom", 0, 0, 0, 0)),
        ("", ("bottom", 0, 0, 0, 0)),
        ("z2 U' L'", ("top", 1, 0, 0, 0)),
        ("x D B", ("side", 1, 0, 1, 0)),
        ("y D' y2 B'", ("bottom", 2, 1, 1, 0)),
        ("D2 x2 B2 Bw b' S M2", ("side", 1, 1, 3, 3)),
        ("y y' D'", ("bottom", 2, 0, 0, 0)),
    ],
)
def test_the_facts_of_a_plan(plan, expected):
    assert check_plan("R D", plan, colours=["yellow"]).handling == Handling(*expected)


@given(SCRAMBLES, PLANS)
def test_where_a_plan_ends_is_seen_on_the_drawn_net(scramble, plan):
    report = check_plan(scramble, plan)
    centres = {face: names[4] for face, names in net_steps(scramble, plan)[-1].items()}
    expected = {"U": "top", "D": "bottom"}
    assert report.colour in COLOURS
    face = next(face for face, colour in centres.items() if colour == report.colour)
    assert report.handling.ends_on == expected.get(face, "side")


@given(SCRAMBLES, PLANS)
def test_it_never_changes_a_result(scramble, plan):
    """Rotations before and after a plan change what is noted and nothing that counts."""
    plain, turned = check_plan(scramble, plan), check_plan(scramble, f"{plan} y")
    assert (turned.moves, turned.best, turned.solved) == (plain.moves, plain.best, plain.solved)
    assert turned.handling.rotations == plain.handling.rotations + 1
    assert turned.handling.back_turns == plain.handling.back_turns
    assert turned.handling.half_turns == plain.handling.half_turns
