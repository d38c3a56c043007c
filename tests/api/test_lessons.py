"""Lessons and improvements by the API: the evidence of the pages, for the same people."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.api.conftest import API
from tests.conftest import NOON, make_membership
from tests.history import BASE_TURN, past, weeks_of_plans
from training.models import Drawn, Kind, ScrambleSet
from training.rules import PickedProfile
from training.services.taught_lessons import note_lesson

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

CLUB = f"{API}clubs/lantern-street/"
IDEA = f"{CLUB}coach/lessons/ideas/base_turn/"


def yesterday(given, *scrambles, **fields):
    opens = NOON - timedelta(days=1, hours=13)
    return given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=scrambles, **fields)


def test_models_and_who_did_without(given, club, coach, speaks_for) -> None:
    a_set = yesterday(given, BASE_TURN[0])
    for name, plan in (("Astrid", BASE_TURN[1]), ("Cyril", BASE_TURN[2])):
        past(given, make_membership(club, name), a_set, plan)
    found = speaks_for(coach).get(IDEA).json()
    (cross,) = found["scrambles"]
    assert [(one["member"], one["shows"], one["excess"]) for one in cross["plans"]] == [
        ("Astrid", "answered", 0),
        ("Cyril", "did_without", 3),
    ]
    assert cross["way"] is None
    assert (cross["lost"], cross["best"], cross["set"]["id"]) == (3, 2, a_set.pk)


def test_a_shortest_way_where_nobody_answered(given, club, coach, speaks_for) -> None:
    past(given, make_membership(club, "Cyril"), yesterday(given, BASE_TURN[0]), BASE_TURN[2])
    (cross,) = speaks_for(coach).get(IDEA).json()["scrambles"]
    assert [one["shows"] for one in cross["plans"]] == ["did_without"]
    assert cross["way"] == {
        "way": {"colour": "yellow", "text": BASE_TURN[1], "ideas": {"base_turn": [0]}},
        "after": "",
        "plan_id": None,
    }


def test_what_changed_since_a_set_with_the_other_lessons_of_its_weeks(
    given, club, coach, speaks_for
) -> None:
    who = make_membership(club, "Cyril")
    homework = yesterday(
        given,
        BASE_TURN[0],
        kind=Kind.HOMEWORK,
        drawn=Drawn.PICKED,
        profile=PickedProfile.of_lesson("base_turn", 1, (2, 3)).to_json(),
    )
    past(given, who, homework, BASE_TURN[1])
    note_lesson(by=coach, code="mirrored", day=(NOON - timedelta(days=2)).date(), now=NOON)
    (one,) = speaks_for(coach).get(IDEA).json()["homework"]
    assert one["own"] == {"answered": 1, "called": 1}
    nothing = {"answered": 0, "called": 0}
    nobody = {"members": 0, "before": nothing, "after": nothing}
    assert one["looked"] == {
        "taught": nobody,
        "change": None,
        "said": "too_early_to_tell",
        "did": nobody,
        "did_not": nobody,
        "handed_in": 1,
    }
    assert one["sharing"] == [{"code": "mirrored", "day": "2026-11-23", "title": ""}]


def test_a_habit_with_the_lessons_held_on_it(given, club, coach, speaks_for) -> None:
    past(given, make_membership(club, "Cyril"), yesterday(given, "R D"), "D R'")
    note_lesson(by=coach, code="wrong_direction", day=NOON.date(), now=NOON)
    found = speaks_for(coach).get(f"{CLUB}coach/lessons/habits/wrong_direction/").json()
    assert found["costs"] == [{"member": "Cyril", "points": 8.0, "total": 8.0, "plans": 1}]
    assert [one["canonical"] for one in found["plans"]] == ["D R'"]
    (held,) = found["held"]
    assert (held["day"], held["members"], held["looked"]["said"]) == (
        *("2026-11-25", 1),
        "too_early_to_tell",
    )


def test_improvements_are_the_coachs_and_ones_own_are_ones_own(
    given, club, coach, speaks_for, clock
) -> None:
    """Astrid answers a base turn for the last four weeks and never before; Bojan always does."""
    astrid, bojan = make_membership(club, "Astrid"), make_membership(club, "Bojan")
    weeks_of_plans(given, bojan, 12, answered=True)
    weeks_of_plans(given, astrid, 4, answered=True)
    for number in range(4, 12):
        opens = NOON - timedelta(days=7 * number + 1, hours=13)
        past(given, astrid, ScrambleSet.objects.get(opens_at=opens), *[BASE_TURN[2]] * 5)
    clock(NOON + timedelta(days=5))
    found = speaks_for(coach).get(f"{CLUB}coach/improvements/").json()
    ideas = [one for one in found if one["code"] == "base_turn"]
    assert [(one["member"], one["answered_before"], one["answered_after"]) for one in ideas] == [
        ("Astrid", {"answered": 0, "called": 40}, {"answered": 20, "called": 20})
    ]
    assert all(one["points_before"] is None for one in ideas)
    own = speaks_for(astrid).get(f"{CLUB}improvements/").json()
    assert own == [one for one in found if one["member"] == "Astrid"]
    assert speaks_for(bojan).get(f"{CLUB}improvements/").json() == []
