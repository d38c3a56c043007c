"""Sealed things stay sealed, and look exactly like what is not there."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest

from tests.api.conftest import API
from tests.conftest import NOON, make_membership
from training.models import Standing
from training.rules import Sight

pytestmark = pytest.mark.django_db
CLUB = f"{API}clubs/lantern-street/"


def paths(set_id: int) -> list[str]:
    return [
        f"{CLUB}sets/{set_id}/",
        f"{CLUB}sets/{set_id}/table/",
        f"{CLUB}sets/{set_id}/scrambles/1/plan/",
    ]


def test_a_second_before_opening_a_set_is_byte_for_byte_what_is_absent(
    given, member, coach, speaks_for, clock
) -> None:
    a_set = given.a_set(opens=NOON, closes=NOON + timedelta(hours=2))
    clock(NOON - timedelta(seconds=1))
    for viewer in (member, coach):
        client = speaks_for(viewer)
        for sealed, absent in zip(paths(a_set.pk), paths(10**7), strict=True):
            for method in (client.get, client.options, client.delete):
                one, other = method(sealed), method(absent)
                assert (one.status_code, one.content) == (other.status_code, other.content)
                # What is left of a limit goes down by one each time, whatever is asked for.
                assert one.headers.pop("RateLimit")
                assert other.headers.pop("RateLimit")
                assert sorted(one.headers.items()) == sorted(other.headers.items())
            assert client.get(sealed).status_code == 404
        assert client.get(f"{CLUB}sets/now/").json() == []
        assert client.get(f"{CLUB}sets/").json() == []
    body = {"key": str(uuid.uuid4()), "plan": "D' R'"}
    posted = speaks_for(member).post(paths(a_set.pk)[2], body, format="json")
    nowhere = speaks_for(member).post(paths(10**7)[2], body, format="json")
    assert (posted.status_code, posted.content) == (404, nowhere.content)
    clock(NOON)
    assert speaks_for(member).get(paths(a_set.pk)[0]).status_code == 200


def test_the_coachs_paths_are_sealed_too(given, coach, speaks_for, clock) -> None:
    a_set = given.a_set(opens=NOON, closes=NOON + timedelta(hours=2))
    clock(NOON - timedelta(seconds=1))
    client = speaks_for(coach)
    assert client.get(f"{CLUB}coach/sets/{a_set.pk}/").status_code == 404
    assert client.get(f"{CLUB}coach/overview/").json()["sets"] == []


def test_another_club_is_not_there_whoever_asks(given, member, outsider, speaks_for) -> None:
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "D' R'")
    stranger = speaks_for(outsider)
    absent = stranger.get(f"{API}clubs/no-such-club/sets/now/")
    for path in (*paths(a_set.pk), f"{CLUB}coach/overview/", f"{CLUB}table/all/", f"{CLUB}sets/"):
        answer = stranger.get(path)
        assert (answer.status_code, answer.content) == (404, absent.content)
    # By its own club's address neither.
    own = f"{API}clubs/far-shore/"
    assert stranger.get(f"{own}sets/{a_set.pk}/").status_code == 404
    assert stranger.get(f"{own}coach/sets/{a_set.pk}/").status_code == 404


def test_nothing_of_the_best_is_told_before_the_answers_open(
    given, member, second, speaks_for
) -> None:
    a_set = given.a_set(answers_to=Sight.CLOSING, table_to=Sight.CLOSING)
    given.a_plan(member, a_set, 1, "D2 D R'")
    given.a_plan(second, a_set, 1, "D' R'")
    client = speaks_for(member)
    own = client.get(f"{CLUB}sets/{a_set.pk}/scrambles/1/plan/").json()
    assert (own["state"], own["solved"], own["moves"], own["report"]) == ("sealed", True, 3, None)
    for path in (f"sets/{a_set.pk}/table/", "table/day/2026-11-25/", "table/week/2026-11-25/"):
        assert client.get(CLUB + path).json()["rows"] == []
    told = client.get(f"{CLUB}sets/now/").content.decode()
    # How many of a week's sets count is a rule, and says nothing of any cross.
    assert "best" not in told.replace('"best_sets_counted":null', "")


def test_members_are_told_that_the_overview_is_for_coaches(member, speaks_for) -> None:
    answer = speaks_for(member).get(f"{CLUB}coach/overview/")
    assert answer.status_code == 403
    assert "coach" in answer.json()["detail"]


@pytest.mark.parametrize(
    ("standing", "words"),
    [
        (Standing.ARCHIVED, "This account is archived. A coach of the club can open it again."),
        (Standing.CONSENT, "This account waits for a parent’s consent."),
    ],
)
def test_an_account_that_is_not_open_is_told_why(
    given, club, speaks_for, standing: Standing, words: str
) -> None:
    a_set = given.a_set()
    person = speaks_for(make_membership(club, "Solveig", standing=standing, under_18=True))
    for path in (*paths(a_set.pk), *paths(10**7), f"{CLUB}coach/overview/"):
        answer = person.get(path)
        assert (answer.status_code, answer.json()["type"][-11:]) == (403, "not_allowed")
        assert answer.json()["detail"].startswith(words)
    assert person.get(f"{API}me/").json()["clubs"] == []
    elsewhere = person.get(f"{API}clubs/far-shore/sets/")
    assert (elsewhere.status_code, elsewhere.json()["title"]) == (404, "Not found")


def test_nobody_signed_in_sees_nothing(given, speaks_for) -> None:
    a_set = given.a_set()
    for path in (*paths(a_set.pk), f"{CLUB}coach/overview/", f"{API}me/"):
        answer = speaks_for(None).get(path)
        assert answer.status_code == 401
        assert answer["WWW-Authenticate"] == "Bearer"


def test_the_coach_sees_who_handed_in_and_every_plan(
    given, member, second, coach, speaks_for
) -> None:
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "D2 D R'")
    overview = speaks_for(coach).get(f"{CLUB}coach/overview/").json()
    (today,) = overview["sets"]
    assert [one["member"] for one in today["handed_in"]] == ["Ines"]
    assert [one["member"] for one in today["missing"]] == ["Bashir"]
    assert today["handed_in"][0]["plans"][0]["report"]["excess"] == 1
    assert overview["losses"][0]["member"] == "Ines"
    assert overview["losses"][0]["lost"] == 1


def test_answers_are_never_kept_by_a_cache(given, member, speaks_for) -> None:
    a_set = given.a_set()
    for path in paths(a_set.pk)[:2]:
        assert speaks_for(member).get(path)["Cache-Control"] == "private, no-store"


def test_an_address_that_leads_nowhere_is_a_problem_too(speaks_for, db) -> None:
    answer = speaks_for(None).get(f"{API}nothing/here/")
    assert (answer.status_code, answer["Content-Type"]) == (404, "application/problem+json")


@pytest.mark.parametrize("kind", ["day", "week"])
@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31", "2026-02-30", "1999-12-31"])
def test_a_day_out_of_reach_is_no_address(member, speaks_for, kind, day) -> None:
    # 0001-01-01 and 9999-12-31 are the ends of the calendar (ISO 8601, Python's date).
    client = speaks_for(member)
    answer = client.get(f"{CLUB}table/{kind}/{day}/")
    assert (answer.status_code, answer["Content-Type"]) == (404, "application/problem+json")
    assert answer.content == client.get(f"{API}nothing/here/").content
    for there in ("2000-01-01", "2100-12-31"):
        assert client.get(f"{CLUB}table/{kind}/{there}/").status_code == 200
