"""Seasons through the API: made, changed while it may be, removed before it begins."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.api.conftest import API, wrong_entries
from tests.conftest import NOON
from tests.grouping import group_named, put_in
from tests.training.challenged import a_challenge, planned
from training.models import Challenge, Season

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

CLUB = f"{API}clubs/lantern-street/"
SPRING = {"name": "spring", "first_day": "2027-02-01", "last_day": "2027-04-30"}


def test_a_season_is_made_changed_and_removed(speaks_for, coach) -> None:
    api = speaks_for(coach)
    made = api.post(f"{CLUB}seasons/", SPRING, format="json")
    assert made.status_code == 201
    head = made.json()["head"]
    assert (head["kinds"], head["best_sets_counted"]) == (["challenge"], None)
    place = f"{CLUB}seasons/{head['id']}/"
    changed = api.post(place, {"best_sets_counted": 6, "kinds": ["daily"]}, format="json").json()
    assert (changed["head"]["best_sets_counted"], changed["head"]["kinds"]) == (6, ["daily"])
    assert changed["head"]["name"] == "spring"
    assert api.delete(place).status_code == 204
    assert not Season.objects.exists()


def test_of_one_that_has_begun_the_name_alone_changes(speaks_for, club, coach) -> None:
    season = Season.objects.create(
        club=club,
        name="autumn",
        first_day=date(2026, 11, 1),
        last_day=date(2026, 12, 1),
        kinds=["challenge"],
    )
    api, place = speaks_for(coach), f"{CLUB}seasons/{season.pk}/"
    assert api.post(place, {"name": "late autumn"}, format="json").status_code == 200
    assert api.post(place, {"best_sets_counted": 3}, format="json").status_code == 409
    assert api.delete(place).status_code == 409
    season.refresh_from_db()
    assert (season.name, season.best_sets_counted) == ("late autumn", None)


@pytest.mark.parametrize(
    ("entered", "field"),
    [
        ({"name": ""}, "name"),
        ({"last_day": "2027-01-01"}, "last_day"),
        ({"kinds": ["homework"]}, "kinds"),
        ({"best_sets_counted": 0}, "best_sets_counted"),
        ({"first_day": "1066-10-14"}, "first_day"),
    ],
)
def test_a_wrong_season_is_refused_by_its_field(speaks_for, coach, entered, field) -> None:
    answer = speaks_for(coach).post(f"{CLUB}seasons/", {**SPRING, **entered}, format="json")
    assert (answer.status_code, wrong_entries(answer)) == (400, [field])
    assert not Season.objects.exists()


def test_members_make_change_and_remove_none(speaks_for, club, member) -> None:
    api = speaks_for(member)
    assert api.post(f"{CLUB}seasons/", SPRING, format="json").status_code == 403
    season = Season.objects.create(
        club=club, name="x", first_day=date(2027, 1, 1), last_day=date(2027, 2, 1), kinds=["daily"]
    )
    assert api.post(f"{CLUB}seasons/{season.pk}/", {}, format="json").status_code == 403
    assert api.delete(f"{CLUB}seasons/{season.pk}/").status_code == 403


def test_a_challenge_is_announced_to_a_group_alone(speaks_for, club, coach, member, second) -> None:
    put_in("Builders", member, since=NOON - timedelta(days=60))
    builders = group_named(club, "Builders")
    sent = {
        "opens_at": "2026-11-26T12:00:00Z",
        "closes_at": "2026-11-28T12:00:00Z",
        "groups": [builders.pk],
    }
    made = speaks_for(coach).post(f"{CLUB}challenges/", sent, format="json")
    assert made.status_code == 201
    place = f"{CLUB}challenges/{made.json()['head']['id']}/"
    assert speaks_for(member).get(place).status_code == 200
    assert speaks_for(second).get(place).status_code == 404
    assert speaks_for(second).get(f"{CLUB}challenges/").json() == []


def test_an_announced_challenge_is_called_off(speaks_for, club, coach, member) -> None:
    day = timedelta(days=1)
    to_come = a_challenge(club, opens=NOON + day, closes=NOON + 3 * day)
    opened = a_challenge(club, opens=NOON - day, closes=NOON + day)
    assert speaks_for(member).delete(f"{CLUB}challenges/{to_come.pk}/").status_code == 403
    api = speaks_for(coach)
    assert api.delete(f"{CLUB}challenges/{to_come.pk}/").status_code == 204
    assert api.delete(f"{CLUB}challenges/{opened.pk}/").status_code == 409
    assert list(Challenge.objects.all()) == [opened]


def test_tables_are_asked_for_by_group(speaks_for, given, club, coach, member, second) -> None:
    builders = put_in("Builders", member, since=NOON - timedelta(days=60))
    season = Season.objects.create(
        club=club,
        name="autumn",
        first_day=date(2026, 11, 1),
        last_day=date(2026, 12, 1),
        kinds=["challenge"],
    )
    day = timedelta(days=1)
    one = a_challenge(club, opens=NOON - 6 * day, closes=NOON - 5 * day, scrambles=1)
    for who in (member, second):
        planned(given, one, who, ["D' R'"])
    api = speaks_for(coach)
    for place, lines in ((f"challenges/{one.pk}/", "lines"), (f"seasons/{season.pk}/", "rows")):
        told = api.get(f"{CLUB}{place}?group={builders.pk}").json()
        assert ([row["member"] for row in told[lines]], told["group"]) == (["Ines"], "Builders")
        assert api.get(f"{CLUB}{place}?group=10000000").status_code == 404
        assert api.get(f"{CLUB}{place}?group=x").status_code == 400
        assert len(api.get(f"{CLUB}{place}").json()[lines]) == 2
