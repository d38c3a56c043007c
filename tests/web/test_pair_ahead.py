"""A first pair written ahead with a plan: read, read back, refused in words, never lost."""

from __future__ import annotations

import re
import uuid

import pytest

from tests.web.conftest import ROOT, reader_for, seen
from training.models import Plan

CROSS, PAIR = "D' R'", "U R U' R'"


def test_a_pair_is_read_back_and_goes_in_with_the_plan(given, member) -> None:
    reader, today = reader_for(member), given.a_set()
    asked = reader.get(f"{ROOT}/sets/{today.pk}/1/")
    assert 'name="pair_ahead"' in asked
    page = reader.enter(today, 1, plan=CROSS, pair_ahead="(U R3)U' // last")
    assert "Then, for the first pair U R' U'" in seen(page)
    assert "U' 3 moves." in seen(page)
    kept = dict(re.findall(r'name="(plan|pair_ahead)" value="([^"]*)"', page))
    assert kept["pair_ahead"] == "(U R3)U&#x27; // last"
    reader.enter(today, 1, status=302, plan=CROSS, pair_ahead="(U R3)U' // last", do="hand_in")
    plan = Plan.objects.get()
    assert (plan.canonical, plan.pair_written, plan.pair_canonical) == (
        CROSS,
        "(U R3)U' // last",
        "U R' U'",
    )


def test_no_pair_is_no_reason_for_anything(given, member) -> None:
    reader, today = reader_for(member), given.a_set()
    page = reader.enter(today, 1, plan=CROSS, pair_ahead="  ")
    assert "first pair" not in seen(page)
    reader.enter(today, 1, status=302, plan=CROSS, do="hand_in")
    assert Plan.objects.get().pair_canonical == ""


def test_changing_ones_mind_keeps_both(given, member) -> None:
    page = reader_for(member).enter(given.a_set(), 1, plan="D' Rw", pair_ahead=PAIR, do="change")
    assert ">D&#x27; Rw</textarea>" in page
    assert ">U R U&#x27; R&#x27;</textarea>" in page
    assert re.search(r"<details[^>]*\bopen\b", page)


@pytest.mark.parametrize("doing", ["read_back", "hand_in"])
def test_an_unreadable_pair_is_refused_and_both_are_still_there(given, member, doing) -> None:
    page = reader_for(member).enter(
        given.a_set(), 1, status=200, plan=CROSS, pair_ahead="U R Q U'", do=doing
    )
    said = seen(page)
    assert "The first pair cannot be read" in said
    assert "Q at character 5 is not a move." in said
    assert ">D&#x27; R&#x27;</textarea>" in page
    assert ">U R Q U&#x27;</textarea>" in page
    assert 'U R <mark class="bad">Q</mark> U' in page
    # Of the plan it is said how it is read, and not that it is wrong.
    assert page.count('aria-invalid="true"') == 1
    assert page.index('id="pair_ahead"') < page.index('aria-invalid="true"')
    assert not Plan.objects.exists()


def test_an_unreadable_plan_is_told_before_the_pair(given, member) -> None:
    page = reader_for(member).enter(
        given.a_set(), 1, status=200, plan="D' Q", pair_ahead="U Z", do="hand_in"
    )
    assert "The plan cannot be read" in seen(page)
    assert "Q at character 4 is not a move." in seen(page)
    assert ">U Z</textarea>" in page


def test_a_pair_in_lower_case_is_asked_about_with_the_plan_kept(given, member) -> None:
    reader, today = reader_for(member), given.a_set()
    page = reader.enter(today, 1, status=200, plan=CROSS, pair_ahead="u r u'")
    assert "Which did you mean?" in seen(page)
    forms = re.findall(r'<form.*?data-x|<section class="card stack".*?</section>', page, re.S)
    assert forms[0].count('value="D&#x27; R&#x27;"') == 2
    assert 'name="pair_ahead" value="U R U&#x27;"' in forms[0]
    assert 'name="pair_ahead" value="u r u&#x27;"' in forms[0]
    page = reader.enter(today, 1, plan=CROSS, pair_ahead="u r u'", lower_case_meant="1")
    assert "Then, for the first pair Uw Rw Uw'" in seen(page)


def test_a_pair_without_a_plan_is_asked_about(given, member) -> None:
    reader, today = reader_for(member), given.a_set()
    page = reader.enter(today, 1, status=200, plan="", pair_ahead=PAIR, choice="no_plan")
    assert "There are moves for the first pair." in seen(page)
    assert ">U R U&#x27; R&#x27;</textarea>" in page
    # After a cross that is there already a pair may come.
    page = reader.enter(today, 1, plan="", pair_ahead=PAIR, choice="solved")
    assert "Then, for the first pair U R U' R'" in seen(page)


def test_the_same_key_with_another_pair_is_another_entry_and_the_first_counts(
    given, member
) -> None:
    reader, today, key = reader_for(member), given.a_set(), str(uuid.uuid4())
    sent = {"plan": CROSS, "do": "hand_in", "key": key}
    for _ in range(2):
        reader.enter(today, 1, status=302, pair_ahead=PAIR, **sent)
    reader.enter(today, 1, status=200, pair_ahead="U", **sent)
    assert Plan.objects.get().pair_canonical == PAIR


def test_the_echo_says_how_the_pair_is_read(given, member) -> None:
    today = given.a_set()
    address = f"{ROOT}/sets/{today.pk}/1/echo/"
    reader = reader_for(member)
    entries = {"plan": "D' Q", "pair_ahead": "u2 R"}
    assert "U" not in seen(reader.post(address, entries))
    assert "Uw2 R" in seen(reader.post(address, {**entries, "echo": "pair_ahead"}))
    assert "Q at character 4" in seen(reader.post(address, entries))
