"""The practice page: begun by a button, its crosses as cards, a word about hands at the end."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from solverworker.cube.chance import Stream
from solverworker.search.scramble import draw_scramble
from tests.conftest import NOON
from tests.web.conftest import ROOT, reader_for, words
from training.models import PracticeDue, Scramble, ScrambleSet
from training.services.sets import fill_picked

pytestmark = pytest.mark.django_db

PAGE = f"{ROOT}/practice/"


def drawer(technique, lengths, colours, seed) -> str:
    return draw_scramble(Stream(seed))


def test_nothing_is_drawn_until_the_button_is_pressed(member) -> None:
    page = reader_for(member).get(PAGE)
    assert "Begin today’s practice" in words(page)
    assert "Nothing is due today: you get two crosses at your own level." in words(page)
    assert not ScrambleSet.objects.exists()


def test_the_button_begins_it_and_the_page_says_what_is_still_being_drawn(member) -> None:
    reader = reader_for(member)
    reader.post(PAGE, status=302)
    begun = words(reader.get(PAGE))
    assert "Nothing is due today: you get two crosses at your own level." in begun
    assert "2 crosses are being drawn." in begun
    fill_picked(drawer=drawer, now=NOON)
    page = reader.get(PAGE)
    assert "Plan scramble 1" in words(page)
    assert "Nothing is due today: here are crosses at your own level." in words(page)
    assert "being drawn" not in words(page)


def test_what_is_due_is_named_and_what_comes_later_has_its_day(member) -> None:
    today = date(2026, 11, 25)
    PracticeDue.objects.create(membership=member, code="base_turn", due_on=today)
    PracticeDue.objects.create(
        membership=member, code="shared_turn", due_on=today + timedelta(days=1)
    )
    said = words(reader_for(member).get(PAGE))
    assert "Today’s crosses call for base turn." in said
    assert "shared turn tomorrow" in said
    assert "comes back after 1, 6 and 15 days" in said


def test_the_ideas_named_are_explained_one_tap_away(member) -> None:
    assert "<details" not in reader_for(member).get(PAGE), "no idea is named, so none is explained"
    day = date(2026, 11, 26)
    PracticeDue.objects.create(membership=member, code="shared_turn", due_on=day)
    page = reader_for(member).get(PAGE)
    told = words(page[page.index("<details") : page.index("</details>")])
    assert (
        told.strip()
        == "The names of ideas explained Shared turn. One turn helps two edges at once. "
        "An example : shared turn"
    )


def test_practice_counts_nothing_and_ends_with_a_word_about_hands(given, member) -> None:
    reader = reader_for(member)
    reader.post(PAGE, status=302)
    fill_picked(drawer=drawer, now=NOON)
    made = ScrambleSet.objects.get()
    for number in (1, 2):
        given.a_plan(member, made, number, None)
    said = words(reader.get(PAGE))
    assert "That is enough for today" in said
    assert "Rest your hands" in said
    assert "counts 8" not in said


def test_one_may_go_on_after_the_daily_few(given, member) -> None:
    reader = reader_for(member)
    reader.post(PAGE, status=302)
    fill_picked(drawer=drawer, now=NOON)
    assert "Go on" not in words(reader.get(PAGE)), "these come first"
    made = ScrambleSet.objects.get()
    for number in (1, 2):
        given.a_plan(member, made, number, None)
    assert "Go on: 2 crosses more" in words(reader.get(PAGE))
    reader.post(PAGE, {"do": "go_on"}, status=302)
    said = words(reader.get(PAGE))
    assert "2 more crosses are being drawn." in said
    fill_picked(drawer=drawer, now=NOON)
    assert "Plan scramble 3" in words(reader.get(PAGE))


def test_the_page_says_how_long_the_crosses_are_and_what_comes_next(given, member) -> None:
    reader = reader_for(member)
    assert "New crosses have" not in words(reader.get(PAGE))
    reader.post(PAGE, status=302)
    made = ScrambleSet.objects.get()
    begun = words(reader.get(PAGE))
    assert "New crosses have 2 moves, as near as the idea and the colours allow." in begun
    assert "One move more comes when 8 of your last 10 of these are exact." in begun
    assert "So far" not in begun
    for number, plan in ((1, "D' R'"), (2, "U D' R'")):
        Scramble.objects.create(scramble_set=made, number=number, text="R D")
        given.a_plan(member, made, number, plan)
    assert "So far 1 of 2." in words(reader.get(PAGE))


def test_having_no_plan_is_read_back_as_what_it_is_in_practice(given, member) -> None:
    reader = reader_for(member)
    reader.post(PAGE, status=302)
    fill_picked(drawer=drawer, now=NOON)
    practice = ScrambleSet.objects.get()
    said = words(reader.enter(practice, 1, choice="no_plan", do="read_back"))
    assert "You have no plan for this one" in said
    assert "It opens the answers as any plan does. It is final." in said
    assert "counts 8" not in said
    # In a set that counts in the tables the same entry is told what it costs there.
    assert "It counts 8" in words(reader.enter(given.a_set(), 1, choice="no_plan", do="read_back"))


def test_the_practice_of_one_member_is_not_there_for_another(member, second) -> None:
    reader_for(member).post(PAGE, status=302)
    made = ScrambleSet.objects.get()
    reader_for(second).get(f"{ROOT}/sets/{made.pk}/", status=404)
    assert "Begin today’s practice" in words(reader_for(second).get(PAGE))
