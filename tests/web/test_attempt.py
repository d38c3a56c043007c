"""Handing in by the page: read back once, refused in words, and nothing typed is lost."""

from __future__ import annotations

import re
import uuid
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from tests.conftest import NOON, Given
from tests.web.conftest import ROOT, reader_for, words
from training.models import Membership, Plan, PlanKind, PlanStatus


def test_the_page_shows_scramble_net_and_field(member: Membership, given: Given) -> None:
    today = given.a_set(scrambles=("R U F2 D L' B R",))
    page = reader_for(member).get(f"{ROOT}/sets/{today.pk}/1/")
    assert "closes tonight at midnight" in words(page)
    assert 'role="img"' in page
    assert "Key to the notation" in page
    assert "top: " in words(page)


def test_a_plan_is_read_back_before_it_goes_in(member: Membership, given: Given) -> None:
    today = given.a_set()
    page = reader_for(member).enter(today, 1, plan="(D'R3 R2)// mine")
    assert "D' R' R2" in words(page)
    assert "3 moves" in words(page)
    assert Plan.objects.count() == 0


def test_handing_in_stores_the_plan_and_leads_to_it(member: Membership, given: Given) -> None:
    today = given.a_set()
    reader = reader_for(member)
    reader.enter(today, 1, status=302, plan="D' R'", do="hand_in")
    plan = Plan.objects.get()
    assert (plan.written, plan.canonical, plan.status) == ("D' R'", "D' R'", PlanStatus.WAITING)
    page = reader.get(f"{ROOT}/sets/{today.pk}/1/")
    assert "being checked" in words(page)
    assert 'http-equiv="refresh"' in page


def test_changing_after_the_read_back_keeps_what_was_typed(
    member: Membership, given: Given
) -> None:
    page = reader_for(member).enter(given.a_set(), 1, plan="D' Rw", do="change")
    assert ">D&#x27; Rw</textarea>" in page


@pytest.mark.parametrize("doing", ["read_back", "hand_in"])
@pytest.mark.parametrize(
    ("typed", "says", "bad"),
    [
        ("D' R4 F", "R4 at character 4", "R4"),
        ("D' 🙂 F", "at character 4", "🙂"),
        ("X2 D", "X2 at character 1", "X2"),
        ("D ) F", "at character 3", ")"),
    ],
)
def test_an_unreadable_plan_is_refused_marked_and_kept(
    member: Membership, given: Given, typed: str, says: str, bad: str, doing: str
) -> None:
    page = reader_for(member).enter(given.a_set(), 1, status=200, plan=typed, do=doing)
    assert says in words(page)
    assert f'<mark class="bad">{bad}</mark>' in page
    assert typed.replace("'", "&#x27;") + "</textarea>" in page
    assert words(page).lstrip().startswith("Error: ")
    assert "autofocus" in page
    assert Plan.objects.count() == 0


def test_a_plan_of_81_moves_is_refused_and_kept(member: Membership, given: Given) -> None:
    # WCA E2d1: at most 80.
    long = " ".join(["R"] * 81)
    page = reader_for(member).enter(given.a_set(), 1, status=200, plan=long)
    assert "80" in words(page)
    assert long + "</textarea>" in page


def test_a_very_long_text_is_refused_and_kept(member: Membership, given: Given) -> None:
    page = reader_for(member).enter(given.a_set(), 1, status=200, plan="R " * 20_000)
    assert "the most" in words(page)
    assert page.count("R R R R") > 1000


def test_a_megabyte_is_too_much_at_once(member: Membership, given: Given) -> None:
    page = reader_for(member).enter(given.a_set(), 1, status=413, plan="R " * 500_000)
    assert "larger than this page takes" in words(page)
    assert Plan.objects.count() == 0


def test_an_empty_plan_needs_one_of_the_two_choices(member: Membership, given: Given) -> None:
    today = given.a_set()
    reader = reader_for(member)
    page = reader.enter(today, 1, status=200, plan="   ")
    assert "the cross is already solved, or you have no plan" in words(page)
    page = reader.enter(today, 1, plan="", choice="no_plan")
    assert "counts 8" in words(page)
    reader.enter(today, 1, status=302, plan="", choice="no_plan", do="hand_in")
    reader.enter(today, 2, status=302, plan="", choice="solved", do="hand_in")
    kinds = Plan.objects.order_by("scramble__number").values_list("kind", "canonical")
    assert list(kinds) == [(PlanKind.NO_PLAN, ""), (PlanKind.MOVES, "")]


def test_no_plan_with_moves_typed_is_a_contradiction_and_keeps_them(
    member: Membership, given: Given
) -> None:
    page = reader_for(member).enter(given.a_set(), 1, status=200, plan="R U", choice="no_plan")
    assert "There are moves in the plan" in words(page)
    assert "R U</textarea>" in page


def test_all_lower_case_is_asked_once(member: Membership, given: Given) -> None:
    today = given.a_set()
    reader = reader_for(member)
    page = reader.enter(today, 1, status=200, plan="d' r'")
    assert "One layer each" in words(page)
    assert "D' R'" in words(page)
    # Meant as written: the second time nothing is asked.
    page = reader.enter(today, 1, plan="d' r'", lower_case_meant="1")
    assert "Dw' Rw'" in words(page)
    reader.enter(today, 1, status=302, plan="d' r'", lower_case_meant="1", do="hand_in")
    assert Plan.objects.get().canonical == "Dw' Rw'"


def test_a_closed_set_refuses_and_shows_what_was_typed(
    member: Membership, given: Given, clock: Callable[[datetime], None]
) -> None:
    today = given.a_set()
    reader = reader_for(member)
    reader.get(f"{ROOT}/sets/{today.pk}/1/")
    clock(NOON + timedelta(hours=12))
    page = reader.enter(today, 1, status=200, plan="D' R'", do="hand_in")
    assert "has closed" in words(page)
    assert "D&#x27; R&#x27;" in page
    assert Plan.objects.count() == 0


def test_a_second_plan_is_refused_with_the_first_shown(member: Membership, given: Given) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, "D' R'")
    page = reader_for(member).enter(today, 1, status=200, plan="R D", do="hand_in")
    assert "is final: D' R'" in words(page)
    assert Plan.objects.get().canonical == "D' R'"


def test_the_same_key_twice_is_one_plan_and_with_another_plan_a_conflict(
    member: Membership, given: Given
) -> None:
    today = given.a_set()
    reader = reader_for(member)
    key = str(uuid.uuid4())
    for _ in range(2):
        reader.enter(today, 1, status=302, plan="D' R'", do="hand_in", key=key)
    assert Plan.objects.count() == 1
    reader.enter(today, 1, status=200, plan="D' R", do="hand_in", key=key)


def test_only_the_tap_that_was_stamped_may_be_timed_by_its_way_back(
    member: Membership, given: Given, clock: Callable[[datetime], None]
) -> None:
    """A second tap stamps nothing: how long its answer took would be said of the first."""
    today = given.a_set()
    browser = reader_for(member).client
    at = f"{ROOT}/sets/{today.pk}/1/"
    for doing, page in (("begin", "inspect/"), ("end", "write/")):
        tap = {"do": doing, "chosen": "timed"}
        assert browser.post(f"{at}inspect/", tap)["Location"] == f"{at}{page}?tapped=1"
        clock(NOON + timedelta(seconds=1))
        again = browser.post(f"{at}inspect/", tap)
        assert "tapped" not in again["Location"]
        # A script that measures is sent nowhere.
        assert browser.post(f"{at}inspect/", tap | {"measured": "1"}).status_code == 204


@pytest.mark.parametrize("key", ["", "no key at all", "0" * 500])
def test_a_form_with_a_spoiled_key_still_hands_in(
    member: Membership, given: Given, key: str
) -> None:
    reader_for(member).enter(given.a_set(), 1, status=302, plan="D' R'", do="hand_in", key=key)
    assert Plan.objects.count() == 1


def test_signed_out_in_the_meantime_shows_what_was_typed(member: Membership, given: Given) -> None:
    page = reader_for(None).enter(given.a_set(), 1, status=401, plan="D' R'", do="hand_in")
    assert "You are signed out" in words(page)
    assert "D' R'" in words(page)
    assert "next=%2Fc%2Flantern-street%2Fsets" in page


class TestEcho:
    def echo(self, member: Membership, given: Given, typed: str) -> str:
        today = given.a_set()
        return reader_for(member).post(f"{ROOT}/sets/{today.pk}/1/echo/", {"plan": typed})

    def test_it_says_the_canonical_form_and_the_length(
        self, member: Membership, given: Given
    ) -> None:
        said = words(self.echo(member, given, "z2 rUR3"))
        assert "z2 Rw U R'" in said
        assert "3 moves so far · z2 turns the cube and costs nothing" in said

    def test_it_marks_what_cannot_be_read(self, member: Membership, given: Given) -> None:
        page = self.echo(member, given, "R U <script>")
        assert '<mark class="bad">&lt;' in page
        assert "<script" not in page

    def test_nothing_typed_says_nothing(self, member: Membership, given: Given) -> None:
        assert words(self.echo(member, given, " ")).strip() == ""


def test_a_covered_scramble_is_not_asked_to_be_scrambled(member: Membership, given: Given) -> None:
    address = f"{ROOT}/sets/{given.a_set().pk}/1/"
    reader = reader_for(member)
    heading = re.compile(r"<h1.*?</h1>", re.DOTALL)
    before = heading.findall(reader.get(address))[0]
    assert re.search(r"hidden\s*>\s*The scramble is covered", before)
    reader.post(address + "inspect/", {"do": "begin", "chosen": "own"}, status=302)
    covered = heading.findall(reader.get(address))[0]
    assert re.search(r"hidden\s*>\s*Scramble your cube", covered)
    assert not re.search(r"hidden\s*>\s*The scramble is covered", covered)
