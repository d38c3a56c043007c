"""A lesson on a habit: what it is, what to say, whom it costs, plans that show it."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from solverworker import review
from tests.conftest import NOON, Given, make_membership
from tests.history import past
from tests.web.conftest import ROOT, reader_for, seen
from training.headings import heading
from training.models import Club, Membership, ScrambleSet
from training.selectors.group_reviews import HABITS
from training.web.pages.lesson.habit_words import habit_exercise, habit_meaning


def page_of(code: str) -> str:
    return f"{ROOT}/coach/lessons/{code}/"


@pytest.fixture
def a_set(given: Given) -> ScrambleSet:
    """Five crosses of yesterday whose best is two moves."""
    opens = NOON - timedelta(days=1, hours=13)
    return given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5)


@pytest.fixture
def slips(given: Given, club: Club, a_set: ScrambleSet) -> None:
    """Cyril turns the wrong way twice and takes a move back once, Astrid does neither."""
    past(given, make_membership(club, "Astrid"), a_set, *["D' R'"] * 5)
    past(
        given, make_membership(club, "Cyril"), a_set, "D R'", "D' R", "D' R' U U'", "D' R'", "D' R'"
    )


@pytest.mark.usefixtures("slips")
def test_a_slip_shows_what_to_say_and_plans_without_names(coach: Membership) -> None:
    page = reader_for(coach).get(page_of("wrong_direction"))
    said = seen(page)
    assert "A turn the wrong way" in said
    assert "With one turn taken another way round, the plan would solve." in said
    assert "Trace it twice, then write." in said
    # Two plans at the cap of eight points.
    assert "It cost 16 points in the last 4 weeks, from 1 member." in said
    assert re.findall(r"R D (D R'|D' R) not solved", said) == ["D' R", "D R'"]
    for name in ("Astrid", "Cyril"):
        assert name not in page
    assert "/coach/plans/" not in page


@pytest.mark.usefixtures("slips")
def test_names_and_what_it_cost_each_when_asked_for(coach: Membership) -> None:
    page = reader_for(coach).get(f"{page_of('wrong_direction')}?names=1")
    said = seen(page)
    # Two unsolved plans and two moves taken back: 18 points in all.
    assert "Cyril 16 of 18 2 plans" in said
    assert "Astrid" not in said
    assert len(re.findall(rf"{ROOT}/coach/plans/\d+/", page)) == 2
    assert "Hide the names" in said


@pytest.mark.usefixtures("slips")
def test_moves_taken_back_are_told_in_moves(coach: Membership) -> None:
    said = seen(reader_for(coach).get(f"{page_of('undone_moves')}?names=1"))
    assert "It cost 2 points in the last 4 weeks, from 1 member." in said
    assert "Cyril 2 of 18" in said
    assert "D' R' U U' 2 moves" in said


@pytest.mark.usefixtures("a_set")
def test_what_nobody_does_says_so(coach: Membership) -> None:
    said = seen(reader_for(coach).get(page_of("mirrored")))
    assert "It cost nobody a point in the last 4 weeks." in said
    assert "No plan of the last weeks shows it." in said


def test_two_colours_are_how_the_choice_of_colour_is_practised(coach: Membership) -> None:
    page = reader_for(coach).get(page_of("colour_choice"))
    assert "Allow two colours for a week in Settings." in seen(page)
    # There is nothing to draw for a habit: no form gives a set, and none is taken.
    assert "Give it to the group" not in seen(page)
    reader_for(coach).post(page_of("colour_choice"), {"scrambles": 3}, status=400)
    assert not ScrambleSet.objects.exists()


@pytest.mark.parametrize("code", HABITS)
def test_every_habit_has_its_words(code: str) -> None:
    for words in (habit_meaning(code), habit_exercise(code), str(heading(code).to_do)):
        assert words.endswith(".")
        assert all(len(sentence.split()) <= 25 for sentence in re.split(r"[.:]", words))


def test_a_plan_said_to_miss_a_turn_solves_when_it_is_mended() -> None:
    """What the lesson says of each slip holds of a plan that is told by it."""
    for written, slip in (("D R'", "wrong_direction"), ("D'", "last_move_missing")):
        assert slip in review.check_plan("R D", written, colours=["yellow"]).slips


@pytest.mark.usefixtures("slips")
def test_the_review_leads_there(coach: Membership) -> None:
    page = reader_for(coach).get(f"{ROOT}/coach/review/")
    linked = set(re.findall(rf"{ROOT}/coach/lessons/(\w+)/", page))
    assert {"wrong_direction", "undone_moves"} <= linked
    for code in linked:
        reader_for(coach).get(page_of(code))


def test_the_number_of_queries_does_not_grow(
    given: Given, club: Club, coach: Membership, a_set: ScrambleSet
) -> None:
    reader = reader_for(coach)

    def queries() -> int:
        reader.get(page_of("wrong_direction"))
        with CaptureQueriesContext(connection) as captured:
            reader.get(page_of("wrong_direction"))
        return len(captured)

    past(given, make_membership(club, "M0"), a_set, "D R'")
    few = queries()
    for n in (1, 2, 3):
        past(given, make_membership(club, f"M{n}"), a_set, *["D R'"] * 5)
    assert queries() == few
