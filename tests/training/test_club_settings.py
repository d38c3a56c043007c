"""A club's days: what a coach may set, and what becomes of sets already drawn."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from solverworker.tasks import DRAWERS
from tests.conftest import NOON
from training import refusals
from training.models import ScrambleSet, Sight
from training.services import clubs
from training.services.clubs import DaySettings
from training.services.sets import issue_due

pytestmark = pytest.mark.django_db

SETTINGS = DaySettings(
    time_zone="Europe/Oslo",
    scrambles=3,
    weekdays=[4, 0, 2],
    opens=time(16, 0),
    closes=time(21, 0),
    colours=["yellow", "white"],
    spelling="club",
    answers_to=Sight.OWN_PLAN,
    table_to=Sight.CLOSING,
)
TOMORROW = date(2026, 11, 26)


def test_a_coach_sets_weekdays_hours_colours_and_sight(coach) -> None:
    club = clubs.change_days(by=coach, settings=replace(SETTINGS, technique_target=85), now=NOON)
    club.refresh_from_db()
    assert club.daily_weekdays == [0, 2, 4]
    assert club.technique_target == 85
    assert club.colours == ["white", "yellow"]
    assert (club.daily_opens, club.daily_closes) == (time(16, 0), time(21, 0))


def test_members_and_strangers_set_nothing(member, club) -> None:
    with pytest.raises(refusals.NotAllowed):
        clubs.change_days(by=member, settings=SETTINGS, now=NOON)
    with pytest.raises(refusals.NotAllowed):
        clubs.add_day_off(by=member, day=TOMORROW, now=NOON)
    with pytest.raises(refusals.NotAllowed):
        clubs.remove_day_off(by=member, day=TOMORROW)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"time_zone": "Mars/Olympus"}, "time_zone"),
        ({"scrambles": 0}, "scrambles"),
        ({"technique_target": 0}, "technique_target"),
        ({"technique_target": 100}, "technique_target"),
        ({"scrambles": 13}, "scrambles"),
        ({"weekdays": [7]}, "weekdays"),
        ({"colours": []}, "colours"),
        ({"colours": ["pink"]}, "colours"),
        ({"spelling": "loose"}, "spelling"),
        ({"answers_to": "never"}, "answers_to"),
        ({"answers_to": Sight.CLOSING, "table_to": Sight.OPEN}, "table_to"),
        ({"best_sets_counted": 0}, "best_sets_counted"),
    ],
)
def test_what_makes_no_sense_is_refused_and_changes_nothing(coach, changes, field) -> None:
    with pytest.raises(refusals.InvalidEntry) as refused:
        clubs.change_days(by=coach, settings=replace(SETTINGS, **changes), now=NOON)
    assert refused.value.field == field
    coach.club.refresh_from_db()
    assert coach.club.daily_scrambles == 5


def test_sealed_sets_follow_the_new_settings_and_open_ones_run_on(club, coach) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    today, tomorrow = ScrambleSet.objects.all()
    clubs.change_days(by=coach, settings=replace(SETTINGS, weekdays=range(7)), now=NOON)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    today.refresh_from_db()
    assert today.scrambles.count() == 5
    redrawn = ScrambleSet.objects.get(day=TOMORROW)
    assert redrawn.pk != tomorrow.pk
    assert redrawn.scrambles.count() == 3


def test_a_day_off_takes_a_sealed_set_away_and_leaves_an_open_one(club, coach) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    for day in (TOMORROW, TOMORROW - timedelta(days=1)):
        clubs.add_day_off(by=coach, day=day, reason="hall closed", now=NOON)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert [one.day for one in ScrambleSet.objects.all()] == [TOMORROW - timedelta(days=1)]
    clubs.remove_day_off(by=coach, day=TOMORROW)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert ScrambleSet.objects.filter(day=TOMORROW).exists()


def test_the_same_day_off_twice_is_one(coach) -> None:
    first = clubs.add_day_off(by=coach, day=TOMORROW, now=NOON)
    assert clubs.add_day_off(by=coach, day=TOMORROW, reason="again", now=NOON).pk == first.pk
