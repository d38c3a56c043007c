"""A club's days: what a coach may set, and what becomes of sets already drawn."""

from __future__ import annotations

from copy import copy
from datetime import date, time, timedelta
from typing import Any

import pytest

from solverworker.tasks import DRAWERS
from tests.conftest import NOON
from training import refusals
from training.models import SERIES_SETTINGS, SETTINGS, Membership, ScrambleSet
from training.rules import Sight
from training.services import clubs
from training.services.issuing import issue_due
from training.services.series import change_series

pytestmark = pytest.mark.django_db

CHANGES = {
    "time_zone": "Europe/Oslo",
    "scrambles": 3,
    "weekdays": [4, 0, 2],
    "opens": time(16, 0),
    "closes": time(21, 0),
    "colours": ["yellow", "white"],
    "spelling": "club",
    "answers_to": Sight.OWN_PLAN,
    "table_to": Sight.CLOSING,
}
TOMORROW = date(2026, 11, 26)


def change(by: Membership, changes: dict[str, Any]) -> None:
    """Change settings of the club and of its first series, each where it stands."""
    first = by.club.first_series
    of_club = {name: one for name, one in changes.items() if name in SETTINGS}
    of_series = {n: one for n, one in changes.items() if n in SERIES_SETTINGS and n not in SETTINGS}
    clubs.change_settings(by=by, changes=of_club, now=NOON)
    change_series(by=by, series=first, changes=of_series, now=NOON)


def test_a_coach_sets_weekdays_hours_colours_and_sight(coach) -> None:
    change(coach, CHANGES | {"technique_target": 85})
    club = coach.club
    club.refresh_from_db()
    daily = club.first_series
    assert daily.weekdays == [0, 2, 4]
    assert club.technique_target == 85
    assert club.colours == ["white", "yellow"]
    assert (daily.opens, daily.closes) == (time(16, 0), time(21, 0))


def test_members_and_strangers_set_nothing(member, club) -> None:
    with pytest.raises(refusals.NotAllowed):
        clubs.change_settings(by=member, changes={"colours": ["red"]}, now=NOON)
    with pytest.raises(refusals.NotAllowed):
        change_series(by=member, series=club.first_series, changes={"scrambles": 3}, now=NOON)
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
        ({"weekdays": "0"}, "weekdays"),
        ({"opens": "soon"}, "opens"),
        ({"colours": []}, "colours"),
        ({"colours": ["pink"]}, "colours"),
        ({"spelling": "loose"}, "spelling"),
        ({"answers_to": "never"}, "answers_to"),
        ({"answers_to": Sight.CLOSING, "table_to": Sight.OPEN}, "table_to"),
        ({"best_sets_counted": 0}, "best_sets_counted"),
        ({"best_sets_counted": 15}, "best_sets_counted"),
    ],
)
def test_what_makes_no_sense_is_refused_and_changes_nothing(coach, changes, field) -> None:
    before = copy(coach.club)
    with pytest.raises(refusals.InvalidEntry) as refused:
        change(coach, changes)
    assert refused.value.field == field
    coach.club.refresh_from_db()
    assert coach.club.rules == before.rules
    assert coach.club.time_zone == before.time_zone
    assert coach.club.first_series.scrambles == 5
    assert coach.club.first_series.weekdays == list(range(7))


def test_sealed_sets_follow_the_new_settings_and_open_ones_run_on(club, coach) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    today, tomorrow = ScrambleSet.objects.all()
    change(coach, CHANGES | {"weekdays": list(range(7))})
    issue_due(drawer=DRAWERS.daily, now=NOON)
    today.refresh_from_db()
    assert today.scrambles.count() == 5
    redrawn = ScrambleSet.objects.get(day=TOMORROW)
    assert redrawn.pk != tomorrow.pk
    assert redrawn.scrambles.count() == 3


def test_a_form_in_which_nothing_was_changed_redraws_nothing(club, coach) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    tomorrow = ScrambleSet.objects.get(day=TOMORROW)
    clubs.change_settings(by=coach, changes={}, now=NOON)
    assert ScrambleSet.objects.get(day=TOMORROW).pk == tomorrow.pk


def test_a_day_off_takes_a_sealed_set_away_and_leaves_an_open_one(club, coach) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    for day in (TOMORROW, TOMORROW - timedelta(days=1)):
        clubs.add_day_off(by=coach, day=day, reason="hall closed", take_out=False, now=NOON)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert [one.day for one in ScrambleSet.objects.all()] == [TOMORROW - timedelta(days=1)]
    clubs.remove_day_off(by=coach, day=TOMORROW)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert ScrambleSet.objects.filter(day=TOMORROW).exists()


def test_the_same_day_off_twice_is_one(coach) -> None:
    first = clubs.add_day_off(by=coach, day=TOMORROW, now=NOON)
    assert clubs.add_day_off(by=coach, day=TOMORROW, reason="again", now=NOON).pk == first.pk


def as_read(who: Membership) -> Membership:
    """Somebody with a club of their own reading, as each request has it."""
    return Membership.objects.select_related("club", "person").get(pk=who.pk)


def test_two_coaches_at_once_both_get_what_they_chose(club, coach, owner) -> None:
    # Both have read the club before either of them stores anything.
    coach, owner = as_read(coach), as_read(owner)
    assert coach.club is not owner.club
    clubs.change_settings(by=coach, changes={"spelling": "strict"}, now=NOON)
    clubs.change_settings(by=owner, changes={"colours": ["red"]}, now=NOON)
    club.refresh_from_db()
    assert (club.spelling, club.colours) == ("strict", ["red"])
    first, same = coach.club.first_series, owner.club.first_series
    change_series(by=coach, series=first, changes={"scrambles": 3}, now=NOON)
    change_series(by=owner, series=same, changes={"opens": time(9, 0)}, now=NOON)
    assert (club.first_series.scrambles, club.first_series.opens) == (3, time(9, 0))
    # What two chose for the same setting is the later one's.
    change_series(by=coach, series=first, changes={"scrambles": 4}, now=NOON)
    change_series(by=owner, series=same, changes={"scrambles": 6}, now=NOON)
    assert club.first_series.scrambles == 6


def test_rules_between_settings_hold_for_what_is_stored_and_not_for_what_was_read(
    club, coach, owner
) -> None:
    coach, owner = as_read(coach), as_read(owner)
    clubs.change_settings(by=coach, changes={"table_to": Sight.CLOSING}, now=NOON)
    clubs.change_settings(by=owner, changes={"answers_to": Sight.CLOSING}, now=NOON)
    with pytest.raises(refusals.InvalidEntry, match="before the answers") as refused:
        clubs.change_settings(by=coach, changes={"table_to": Sight.OPEN}, now=NOON)
    assert refused.value.field == "table_to"
    club.refresh_from_db()
    assert (club.answers_to, club.table_to) == ("closing", "closing")


def test_only_settings_are_changed_by_name(club, coach) -> None:
    with pytest.raises(ValueError, match="slug"):
        clubs.change_settings(by=coach, changes={"slug": "elsewhere"}, now=NOON)
    with pytest.raises(ValueError, match="stopped_on"):
        change_series(
            by=coach, series=club.first_series, changes={"stopped_on": TOMORROW}, now=NOON
        )


@pytest.mark.parametrize("day", [date.min, date.max])
def test_a_day_off_at_the_end_of_the_calendar_is_refused_in_words(coach, day) -> None:
    with pytest.raises(refusals.InvalidEntry, match="between 2000 and 2100") as refused:
        clubs.add_day_off(by=coach, day=day, now=NOON)
    assert refused.value.field == "day"
