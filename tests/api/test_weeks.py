"""Series and a coach's week through the API: looked at, then stored, never over another's."""

from __future__ import annotations

from datetime import date, time
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.api.conftest import API, wrong_entries
from tests.conftest import make_membership
from tests.grouping import group_named
from training.models import SERIES_SETTINGS, DayOff, Kind, OtherDay, Role, ScrambleSet, Series

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

CLUB = f"{API}clubs/lantern-street/"
WEEK = f"{CLUB}coach/weeks/2026-11-25/"
FRIDAY = f"{CLUB}coach/weeks/2026-11-27/"
NIGHT = {"kind": "club_night", "opens": "18:00", "closes": "20:00", "scrambles": 3}


@pytest.fixture
def api(speaks_for, coach) -> Any:
    return speaks_for(coach)


@pytest.fixture
def night(club) -> Series:
    return club.series.create(kind=Kind.CLUB_NIGHT, weekdays=[4], opens=time(18), closes=time(20))


def version(api: Any) -> str:
    return str(api.get(WEEK).json()["version"])


def kinds(week: dict[str, Any], day: str) -> list[str]:
    found = next(one for one in week["days"] if one["day"] == day)
    return [one["kind"] for one in found["sets"]]


def change(api: Any, place: str, **entered: Any) -> Any:
    return api.post(place, {"version": version(api), **entered}, format="json")


def test_a_week_tells_what_falls_on_its_days(api, club, given, night) -> None:
    opened = given.a_set()
    DayOff.objects.create(club=club, day=date(2026, 11, 28), reason="hall shut")
    found = api.get(FRIDAY).json()
    assert found["monday"] == "2026-11-23"
    assert [one["set_id"] for one in found["days"][2]["sets"]] == [opened.pk]
    friday = {one["kind"]: one for one in found["days"][4]["sets"]}
    assert friday["club_night"]["series_id"] == night.pk
    assert friday["club_night"]["set_id"] is None
    assert friday["club_night"]["crosses"] == {"scrambles": 5, "colours": ["yellow"]}
    assert [one["off"] for one in found["days"]] == [None] * 5 + ["hall shut", None]
    assert [one["is_over"] for one in found["days"]] == [True, True, *[False] * 5]


def test_what_a_set_to_come_holds_is_sealed_for_a_coach_who_competes(
    speaks_for, club, night
) -> None:
    rival = make_membership(club, "Runa", Role.COACH, competes=True)
    found = speaks_for(rival).get(WEEK).json()
    assert [one["crosses"] for one in found["days"][4]["sets"]] == [None, None]


def test_a_set_more_is_looked_at_and_then_planned(api, club) -> None:
    seen = version(api)
    looked = change(api, f"{FRIDAY}sets/", **NIGHT)
    assert looked.status_code == 200
    assert kinds(looked.json(), "2026-11-27") == ["daily", "club_night"]
    assert club.series.count() == 1
    stored = change(api, f"{FRIDAY}sets/", **NIGHT, store=True)
    assert kinds(stored.json(), "2026-11-27") == ["daily", "club_night"]
    made = club.series.get(kind="club_night")
    assert (made.only_on, made.opens, made.scrambles) == (date(2026, 11, 27), time(18), 3)
    assert stored.json()["version"] == version(api) != seen


def test_a_set_is_for_the_groups_that_are_named(api, club, other_club) -> None:
    builders, far = group_named(club, "Builders"), group_named(other_club, "Far")
    sent = {**NIGHT, "store": True}
    assert change(api, f"{FRIDAY}sets/", **sent, groups=[far.pk]).status_code == 404
    made = change(api, f"{FRIDAY}sets/", **sent, groups=[builders.pk]).json()
    assert made["days"][4]["sets"][-1]["groups"] == ["Builders"]


def test_nothing_is_stored_over_what_somebody_changed_since(api, club, night) -> None:
    seen = version(api)
    change(api, f"{FRIDAY}off/", off=True, reason="fair", store=True)
    for place, entered in {
        f"{FRIDAY}sets/": NIGHT,
        f"{FRIDAY}series/{night.pk}/": {"do": "leave_out"},
        f"{FRIDAY}off/": {"off": False},
        f"{WEEK}copy/": {},
    }.items():
        answer = api.post(place, {**entered, "version": seen, "store": True}, format="json")
        assert answer.status_code == 409
        assert answer.json()["type"].endswith("/plan_changed")
    assert [one.reason for one in DayOff.objects.all()] == ["fair"]


def test_a_set_is_moved_left_out_and_put_back(api, night) -> None:
    place = f"{FRIDAY}series/{night.pk}/"
    moved = {"do": "move", "to_day": "2026-11-26", "opens": "19:00", "closes": "21:00"}
    assert kinds(change(api, place, **moved).json(), "2026-11-26") == ["daily", "club_night"]
    assert not OtherDay.objects.exists()
    found = change(api, place, **moved, store=True).json()
    there = found["days"][3]["sets"][-1]
    assert (there["moved"], there["of_day"]) == (True, "2026-11-27")
    assert there["opens_at"] == "2026-11-26T18:00:00Z"  # Oslo is an hour ahead in winter.
    assert found["days"][4]["left_out"] == [
        {"series_id": night.pk, "day": "2026-11-27", "held_on": "2026-11-26"}
    ]
    change(api, place, do="put_back", store=True)
    assert not OtherDay.objects.exists()
    left = change(api, place, do="leave_out", store=True).json()
    assert kinds(left, "2026-11-27") == ["daily"]
    again = change(api, place, do="leave_out", store=True)
    assert again.status_code == 400


def test_without_a_day_or_hours_it_is_moved_by_what_is_named_alone(api, night) -> None:
    place = f"{FRIDAY}series/{night.pk}/"
    found = change(api, place, do="move", opens="17:00", store=True).json()
    there = found["days"][4]["sets"][-1]
    assert (there["opens_at"], there["closes_at"]) == (
        "2026-11-27T16:00:00Z",
        "2026-11-27T19:00:00Z",
    )


def test_what_has_opened_is_not_planned_any_more(api, club, given) -> None:
    opened = given.a_set()
    ScrambleSet.objects.filter(pk=opened.pk).update(series=club.first_series)
    place = f"{WEEK}series/{club.first_series.pk}/"
    assert change(api, place, do="leave_out", store=True).status_code == 409
    assert change(api, f"{WEEK}off/", off=True, store=True).status_code == 409


def test_last_week_is_done_once_more(api, club, night) -> None:
    OtherDay.objects.create(series=night, day=date(2026, 11, 20))
    looked = change(api, f"{WEEK}copy/").json()
    assert kinds(looked, "2026-11-27") == ["daily"]
    assert OtherDay.objects.count() == 1
    change(api, f"{WEEK}copy/", store=True)
    assert OtherDay.objects.filter(day="2026-11-27", held_on=None).exists()
    assert change(api, f"{WEEK}copy/", store=True).status_code == 400


def test_holidays_are_counted_and_then_noted(api, club) -> None:
    sent = {"days": ["2026-12-24", "2026-12-25", "2026-12-24"], "reason": "winter"}
    place = f"{CLUB}coach/holidays/"
    assert api.post(place, sent, format="json").json() == {"noted": 2, "stored": False}
    assert not DayOff.objects.exists()
    assert api.post(place, {**sent, "store": True}, format="json").json()["noted"] == 2
    assert DayOff.objects.filter(reason="winter").count() == 2
    past = {"days": ["2026-11-01"]}
    assert api.post(place, past, format="json").status_code == 400


def test_a_series_is_started_changed_stopped_and_goes_on(api, club) -> None:
    place = f"{CLUB}coach/series/"
    sent = {**NIGHT, "weekdays": [4], "begins_on": "2026-11-25", "name": "Fridays"}
    looked = api.post(place, sent, format="json")
    assert looked.status_code == 200
    assert [one["day"] for one in looked.json()["coming"]] == ["2026-11-27", "2026-12-04"]
    assert club.series.count() == 1
    made = api.post(place, {**sent, "store": True}, format="json")
    assert (made.status_code, made.json()["name"]) == (201, "Fridays")
    assert (made.json()["opens"], made.json()["closes"]) == ("18:00", "20:00")
    assert [one["name"] for one in api.get(place).json()] == ["", "Fridays"]
    own = f"{place}{made.json()['id']}/"
    rules = {"club_rules": False, "colours": ["white", "red"]}
    assert api.post(own, rules, format="json").json()["rules"]["colours"] == ["white", "red"]
    assert api.get(own).json()["rules"]["colours"] == ["yellow"]
    changed = api.post(own, {**rules, "weekdays": [5], "store": True}, format="json").json()
    assert [one["day"] for one in changed["coming"]] == ["2026-11-28", "2026-12-05"]
    stopped = api.post(own, {"in_use": False, "store": True}, format="json").json()
    assert (stopped["stopped_on"], stopped["coming"]) == ("2026-11-25", [])
    on = api.post(own, {"in_use": True, "store": True}, format="json").json()
    assert (on["stopped_on"], len(on["coming"])) == (None, 2)


def test_a_challenge_whose_result_nobody_reads_is_no_series(api, club) -> None:
    sent = {**NIGHT, "kind": "challenge", "begins_on": "2026-11-25", "store": True}
    rules = {"club_rules": False, "table_to": "coaches"}
    answer = api.post(f"{CLUB}coach/series/", {**sent, **rules}, format="json")
    assert answer.status_code == 400
    assert wrong_entries(answer) == ["table_to"]
    assert club.series.count() == 1


@pytest.mark.parametrize(
    ("entry", "value"),
    [
        ("weekdays", [7]),
        ("weekdays", "every"),
        ("opens", "25:00"),
        ("scrambles", 0),
        ("days_later", 14),
        ("colours", []),
        ("colours", ["pink"]),
        ("spelling", "loose"),
        ("club_rules", "perhaps"),
        ("kind", "homework"),
        ("name", "x" * 41),
    ],
)
def test_a_wrong_setting_is_refused_by_its_name(api, club, entry, value) -> None:
    place = f"{CLUB}coach/series/{club.first_series.pk}/"
    answer = api.post(place, {entry: value, "store": True}, format="json")
    assert answer.status_code == 400
    assert wrong_entries(answer) == [entry]


def test_every_setting_of_a_series_is_in_the_document(client) -> None:
    shapes = client.get(f"{API}openapi.json").json()["components"]["schemas"]
    for name in ("StartSeriesRequest", "ChangeSeriesRequest"):
        assert set(SERIES_SETTINGS) <= set(shapes[name]["properties"])
        assert not set(SERIES_SETTINGS) & set(shapes[name].get("required", []))
    told = {*shapes["Series"]["properties"], *shapes["RulesOfSet"]["properties"]}
    assert set(SERIES_SETTINGS) <= told


def test_a_look_sends_nothing_to_the_workers(api, monkeypatch) -> None:
    asked: list[object] = []
    monkeypatch.setattr("training.dispatch._send", lambda *told: asked.append(told) or True)
    seen = version(api)
    api.post(f"{FRIDAY}off/", {"version": seen, "off": True}, format="json")
    assert asked == []
    assert not DayOff.objects.exists()


def test_a_week_takes_as_many_queries_with_much_in_it(api, club, night) -> None:
    def queries() -> int:
        with CaptureQueriesContext(
            connection,
        ) as caught:
            api.get(WEEK)
        return len(caught)

    before = queries()
    for hour in range(8, 16):
        club.series.create(kind=Kind.DAILY, weekdays=[0, 2, 4], opens=time(hour), closes=time(17))
    assert queries() == before
