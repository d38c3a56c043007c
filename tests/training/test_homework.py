"""Homework and club nights: picked sets that stay apart from the table."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest

from solverworker.cube.chance import Stream
from solverworker.search.scramble import draw_scramble
from tests.conftest import NOON
from tests.training.test_practice import drawer
from training import refusals
from training.models import (
    Drawn,
    Kind,
    Plan,
    ScrambleSet,
)
from training.selectors import plans as plan_selectors
from training.selectors import tables
from training.services.lesson_sets import make_club_night, make_homework
from training.services.sets import fill_picked
from training.visibility import Sealed

pytestmark = pytest.mark.django_db

TODAY = date(2026, 11, 25)
WITHOUT_BASE_TURN = "R U' R' B2 D'"


def homework(coach, **changes) -> ScrambleSet:
    entry = {
        "code": "base_turn",
        "scrambles": 4,
        "lengths": (4, 6),
        "opens_day": TODAY,
        "days": 3,
        "now": NOON,
    }
    return make_homework(by=coach, **{**entry, **changes})


def test_homework_is_a_picked_set_drawn_by_a_worker_to_its_profile(given, coach, member) -> None:
    made = homework(coach)
    assert (made.kind, made.drawn, made.opens_at) == (Kind.HOMEWORK, Drawn.PICKED, NOON)
    assert plan_selectors.set_for(member, made.pk, NOON).scrambles == ()
    asked: list[tuple] = []

    def watching(technique, lengths, colours, seed) -> str:
        asked.append((technique, tuple(lengths or ())))
        return draw_scramble(Stream(seed))

    assert fill_picked(drawer=watching, now=NOON) == 4
    assert asked == [("base_turn", (4, 6))] * 4
    (today,) = plan_selectors.sets_now(member, NOON)
    assert today.head.title == "Homework from Wednesday"
    given.a_plan(member, made, 1, "U")
    assert tables.week_table(coach, TODAY, made.closes_at).sets == ()


def test_a_drawer_in_trouble_leaves_the_set_for_the_next_tick(coach, caplog) -> None:
    homework(coach)

    def broken(*args: object) -> str:
        raise RuntimeError

    assert fill_picked(drawer=broken, now=NOON) == 0
    assert "could be drawn" in caplog.text
    assert fill_picked(drawer=drawer, now=NOON) == 4


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"code": "magic"}, "code"),
        ({"scrambles": 0}, "scrambles"),
        ({"lengths": (6, 4)}, "lengths"),
        ({"lengths": (1, 9)}, "lengths"),
        ({"days": 0}, "days"),
        ({"opens_day": TODAY - timedelta(days=1)}, "opens_day"),
    ],
)
def test_homework_that_makes_no_sense_is_refused(coach, changes, field) -> None:
    with pytest.raises(refusals.InvalidEntry) as refused:
        homework(coach, **changes)
    assert refused.value.field == field
    assert not ScrambleSet.objects.exists()


def test_members_give_no_homework(member) -> None:
    with pytest.raises(refusals.NotAllowed):
        homework(member)


def club_night(coach, **changes) -> ScrambleSet:
    entry = {
        "code": "base_turn",
        "scrambles": 4,
        "lengths": (4, 6),
        "day": TODAY,
        "begins": time(12, 30),
        "minutes": 90,
        "now": NOON,
    }
    return make_club_night(by=coach, **{**entry, **changes})


def test_a_club_night_that_has_begun_opens_at_once_and_ends_as_planned(coach, member) -> None:
    made = club_night(coach)  # noon in UTC is one o'clock in Oslo
    assert (made.kind, made.opens_at) == (Kind.CLUB_NIGHT, NOON)
    assert made.closes_at == NOON + timedelta(hours=1)
    assert fill_picked(drawer=drawer, now=NOON) == 4
    (now,) = plan_selectors.sets_now(member, NOON)
    assert now.head.title == "Wednesday’s club night"
    assert tables.week_table(coach, TODAY, made.closes_at).sets == ()


def test_a_club_night_to_come_stays_sealed(coach, member) -> None:
    made = club_night(coach, begins=time(18, 30))
    assert fill_picked(drawer=drawer, now=NOON) == 4
    with pytest.raises(Sealed):
        plan_selectors.scramble_for(member, made.pk, 1, NOON)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"minutes": 4}, "minutes"),
        ({"minutes": 241}, "minutes"),
        ({"begins": time(9, 0)}, "begins"),
        ({"code": "magic"}, "code"),
    ],
)
def test_a_club_night_that_makes_no_sense_is_refused(coach, changes, field) -> None:
    with pytest.raises(refusals.InvalidEntry) as refused:
        club_night(coach, **changes)
    assert refused.value.field == field
    assert not ScrambleSet.objects.exists()


def test_members_set_no_club_night(member) -> None:
    with pytest.raises(refusals.NotAllowed):
        club_night(member)


def test_homework_of_another_day_opens_at_the_clubs_midnight(coach) -> None:
    made = homework(coach, opens_day=TODAY + timedelta(days=1))
    assert made.opens_at == NOON + timedelta(hours=11)
    assert made.closes_at - made.opens_at == timedelta(days=3)
    assert not Plan.objects.exists()
