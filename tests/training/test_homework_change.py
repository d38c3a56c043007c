"""What the lesson page says of the time since a lesson; the mathematics has tests of its own."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from tests.history import BASE_TURN, past
from training.lesson_effect import LessonChange, LessonSaid
from training.models import Drawn, Kind
from training.rules import PickedProfile
from training.selectors.lesson_changes import change_since

pytestmark = pytest.mark.django_db

# Scramble, a way that answers, a plan that does not; the second calls for a shared turn (the small
# vectors of the definitions).
SHARED = ("R F", "F' R'", "R' F2 U F")


def weeks(given, people, spans, *, answered) -> None:
    """A random set a week for five crosses of each of two ideas; the shared turn is answered."""
    for week in spans:
        opens = NOON - timedelta(weeks=week, hours=13)
        a_set = given.a_set(
            opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5 + ("R F",) * 5
        )
        base = BASE_TURN[1] if answered else BASE_TURN[2]
        for who in people:
            past(given, who, a_set, *[base] * 5, *[SHARED[1]] * 5)


@pytest.fixture
def people(club):
    return [make_membership(club, f"M{number}") for number in range(6)]


def a_lesson(given, code, *, weeks_ago):
    opens = NOON - timedelta(weeks=weeks_ago)
    profile = PickedProfile.of_lesson(code, 5, (2, 3))
    return given.a_set(
        opens=opens,
        closes=opens + timedelta(days=1),
        kind=Kind.HOMEWORK,
        drawn=Drawn.PICKED,
        profile=profile.to_json(),
    )


def test_what_was_learnt_is_told_against_what_was_not_taught(given, coach, people) -> None:
    # The four weeks before the lesson belong to neither window.
    weeks(given, people, (11, 10, 9), answered=False)
    weeks(given, people, (3, 2, 1), answered=True)
    lesson = a_lesson(given, "base_turn", weeks_ago=4)
    found = change_since(coach, "base_turn", lesson, NOON)
    assert isinstance(found, LessonChange)
    assert (found.members, found.taught, found.control) == (6, 1, 0)
    assert found.said is LessonSaid.BETTER


def test_the_month_that_made_the_coach_choose_is_left_out(given, coach, people) -> None:
    weeks(given, people, (7, 6, 5), answered=False)
    weeks(given, people, (3, 2, 1), answered=True)
    lesson = a_lesson(given, "base_turn", weeks_ago=4)
    assert change_since(coach, "base_turn", lesson, NOON) is LessonSaid.TOO_EARLY


def test_what_was_taught_too_is_no_control(given, coach, people) -> None:
    weeks(given, people, (11, 10, 9), answered=False)
    weeks(given, people, (3, 2, 1), answered=True)
    lesson = a_lesson(given, "base_turn", weeks_ago=4)
    a_lesson(given, "shared_turn", weeks_ago=2)
    assert change_since(coach, "base_turn", lesson, NOON) is LessonSaid.CANNOT_BE_TOLD
