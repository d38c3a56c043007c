"""What a member reads of a plan: nothing before its time, everything after."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta

from solverworker.cube.net import net_steps
from tests.conftest import NOON, Given
from tests.web.conftest import ROOT, reader_for, words
from training.models import Membership
from training.web.pictures.net import net_code


def test_a_loss_is_told_in_one_sentence_with_its_ledger(member: Membership, given: Given) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, "D' L L' R'")
    said = words(reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/"))
    assert "Solved in 4 moves. The best is 2." in said
    assert "best 2, plan 4, 2 over" in said
    assert "lost" in said
    assert "D' R'" in said or "The only shortest solution" in said


def test_an_exact_plan_is_told_so(member: Membership, given: Given) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, "D' R'")
    said = words(reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/"))
    assert "Solved in 2 moves. No plan needs fewer." in said
    assert "No move was lost." in said


def test_an_unsolved_plan_says_how_far_it_is_and_one_way_to_finish(
    member: Membership, given: Given
) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, "D'")
    said = words(reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/"))
    assert "Not solved: 1 move short." in said
    assert "One way to finish: R'" in said


def test_no_plan_opens_the_answers(member: Membership, given: Given) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, None)
    said = words(reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/"))
    assert "No plan. The best is 2." in said
    assert "shortest solution" in said


def test_without_script_a_step_is_a_link_and_the_server_draws_the_cube_there(
    member: Membership, given: Given
) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, "D' L L' R'")
    reader = reader_for(member)
    for step, faces in enumerate(net_steps("R D", "D' L L' R'")):
        page = reader.get(f"{ROOT}/sets/{today.pk}/1/?step={step}")
        assert f'data-net="{net_code(faces)}"' in page
        assert f'href="?step={step}#cube"' in page
    shortest = net_steps("R D", "D' R'")[1]
    page = reader.get(f"{ROOT}/sets/{today.pk}/1/?way=1&step=1")
    assert f'data-net="{net_code(shortest)}"' in page


def test_steps_that_do_not_exist_are_brought_to_the_nearest(
    member: Membership, given: Given
) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, "D' R'")
    for query in ("step=99999", "step=-1", "step=x", "way=9999&step=2", "step=²", "way=&step="):
        reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/?{query}")


def test_answers_after_closing_are_sealed_until_then(
    member: Membership, given: Given, clock: Callable[[datetime], None]
) -> None:
    today = given.a_set(answers_to="closing", table_to="closing")
    given.a_plan(member, today, 1, "D' L L' R'")
    reader = reader_for(member)
    page = reader.get(f"{ROOT}/sets/{today.pk}/1/")
    said = words(page)
    assert "sealed until the set closes" in said
    assert "It solves the cross in 4 moves." in said
    assert not re.search(r"best \d|over|shortest|ledger", said)
    clock(NOON + timedelta(hours=11))
    assert "The best is 2." in words(reader.get(f"{ROOT}/sets/{today.pk}/1/"))


def test_a_withdrawn_plan_shows_the_reason(member: Membership, given: Given, coach) -> None:
    from training.services.corrections import withdraw_plan

    today = given.a_set()
    plan = given.a_plan(member, today, 1, "D' R'")
    withdraw_plan(plan=plan, by=coach, reason="Typed for another cube.")
    said = words(reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/"))
    assert "withdrawn" in said.lower()
    assert "Typed for another cube." in said


def test_a_plan_that_could_not_be_checked_says_what_to_do(member: Membership, given: Given) -> None:
    from training.services import verdicts

    today = given.a_set()
    plan = given.a_plan(member, today, 1, "D' R'", checked=False)
    verdicts.fail(plan_id=plan.pk, reason=verdicts.GAVE_UP)
    said = words(reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/"))
    assert "could not be checked" in said.lower()
    assert "A coach can have it checked again." in said
