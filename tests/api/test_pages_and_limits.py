"""Lists in pages with links (RFC 8288), and what is left of a limit (IETF draft, 8th version)."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from rest_framework.test import APIClient
from rest_framework.throttling import SimpleRateThrottle

from tests.api.conftest import API
from tests.conftest import NOON, Given
from training.api.limits import limit_of
from training.models import Club, Correction, Deed, Drawn, Kind, Membership, ScrambleSet

CLUB = f"{API}clubs/lantern-street/"
DAY = timedelta(days=1)
SpeaksFor = Callable[[Membership | None], APIClient]


def linked(answer: Any) -> dict[str, str]:
    """The targets of a Link header by relation: RFC 8288, section 3."""
    found = re.findall(r'<([^>]*)>; rel="(\w+)"', answer["Link"])
    return {rel: href for href, rel in found}


def sets(given: Given, count: int, **fields: Any) -> list[ScrambleSet]:
    return [
        given.a_set(
            opens=NOON - timedelta(hours=13) - n * DAY,
            closes=NOON + timedelta(hours=11) - n * DAY,
            **fields,
        )
        for n in range(count)
    ]


class TestEverySet:
    def test_is_walked_by_its_links(
        self, member: Membership, coach: Membership, given: Given, speaks_for: SpeaksFor
    ) -> None:
        made = sets(given, 120, scrambles=("R D",))
        given.a_set(opens=NOON + DAY, closes=NOON + 2 * DAY)
        client, address, seen, pages = speaks_for(coach), f"{CLUB}sets/all/", [], 0
        while address:
            answer = client.get(address)
            told = answer.json()
            assert (told["count"], answer["Total-Count"]) == (120, "120")
            assert linked(answer).get("next") == told["next"]
            assert linked(answer).get("prev") == told["previous"]
            assert linked(answer)["last"].endswith("page=3")
            seen += [one["head"]["id"] for one in told["results"]]
            address, pages = told["next"], pages + 1
        assert (pages, seen) == (3, [one.pk for one in made])

    def test_keeps_what_was_asked_in_its_links(
        self, member: Membership, given: Given, speaks_for: SpeaksFor
    ) -> None:
        sets(given, 60, kind=Kind.HOMEWORK, drawn=Drawn.PICKED)
        given.a_set(kind=Kind.CLUB_NIGHT)
        told = speaks_for(member).get(f"{CLUB}sets/all/?kind=homework").json()
        assert told["count"] == 60
        assert "kind=homework" in told["next"]
        assert told["results"][0]["plans"] is None
        for wrong in ("kind=practice", "page=0", "page=x", "page=1000000000"):
            assert speaks_for(member).get(f"{CLUB}sets/all/?{wrong}").status_code == 400

    def test_can_be_planned_afterwards(
        self, member: Membership, given: Given, speaks_for: SpeaksFor
    ) -> None:
        old, today = sets(given, 2)[1], sets(given, 0)
        client = speaks_for(member)
        assert today == []
        first = client.post(f"{CLUB}sets/{old.pk}/afterwards/")
        again = client.post(f"{CLUB}sets/{old.pk}/afterwards/")
        assert first.status_code == 200
        assert first.json() == again.json()
        assert first.json()["head"]["again_of"] == old.pk
        told = client.get(f"{CLUB}sets/all/").json()
        assert [one["again"] for one in told["results"]] == [None, first.json()["head"]["id"]]


def test_an_array_of_version_1_stays_one_with_its_links_beside(
    member: Membership, given: Given, speaks_for: SpeaksFor
) -> None:
    sets(given, 30, scrambles=("R D",))
    answer = speaks_for(member).get(f"{CLUB}sets/?page=2")
    assert [one["head"]["kind"] for one in answer.json()] == ["daily"] * 14
    assert answer["Total-Count"] == "30"
    found = linked(answer)
    assert set(found) == {"first", "prev", "next", "last"}
    assert len(speaks_for(member).get(found["last"]).json()) == 2
    assert "next" not in linked(speaks_for(member).get(found["last"]))
    assert (
        speaks_for(member).get(found["prev"]).json()[0]["head"]["id"]
        > answer.json()[0]["head"]["id"] - 100
    )


def test_logs_say_how_many_and_where_to_go_on(
    club: Club, owner: Membership, member: Membership, given: Given, speaks_for: SpeaksFor
) -> None:
    Deed.objects.bulk_create(
        Deed(club=club, what="card", by=owner, whom=member) for _ in range(250)
    )
    today = given.a_set()
    Correction.objects.bulk_create(
        Correction(club=club, kind="set_out", scramble_set=today, by=owner, in_force=False)
        for _ in range(101)
    )
    client = speaks_for(owner)
    for name, entries, count in (("log", "lines", 250), ("corrections", "entries", 101)):
        told = client.get(f"{CLUB}{name}/").json()
        assert (told["count"], len(told[entries]), told["previous"]) == (count, 100, None)
        assert told["next"].endswith("start=100")
        last = client.get(linked(client.get(f"{CLUB}{name}/"))["last"]).json()
        assert (last["next"], last["has_older"]) == (None, False)
        assert len(last[entries]) == count % 100


class TestLimits:
    @pytest.fixture(autouse=True)
    def _as_shipped(self, monkeypatch: pytest.MonkeyPatch) -> None:
        rates = {
            "address": "1200/min",
            "person": "240/min",
            "sign-in": "20/min",
            "hand-in": "60/min",
        }
        monkeypatch.setattr(SimpleRateThrottle, "THROTTLE_RATES", rates)

    def test_stand_in_every_counted_answer(
        self, member: Membership, given: Given, speaks_for: SpeaksFor
    ) -> None:
        client = speaks_for(member)
        first, second = (client.get(f"{API}me/") for _ in range(2))
        assert first["RateLimit-Policy"] == '"person";q=240;w=60'
        assert first["RateLimit"] == '"person";r=239;t=60'
        assert second["RateLimit"] == '"person";r=238;t=60'
        plan = client.post(f"{CLUB}sets/{given.a_set().pk}/scrambles/1/plan/", {}, format="json")
        assert plan["RateLimit-Policy"] == '"person";q=240;w=60, "hand-in";q=60;w=60'

    def test_tell_when_there_is_more_again(
        self, member: Membership, speaks_for: SpeaksFor, clock: Callable[[Any], None]
    ) -> None:
        client = speaks_for(member)
        for _ in range(240):
            assert client.get(f"{API}me/").status_code == 200
        clock(NOON + timedelta(seconds=20))
        refused = client.get(f"{API}me/")
        assert refused.status_code == 429
        assert refused["RateLimit"] == '"person";r=0;t=40'
        assert int(refused["Retry-After"]) >= 1
        clock(NOON + timedelta(seconds=61))
        assert client.get(f"{API}me/")["RateLimit"] == '"person";r=239;t=60'

    def test_are_of_the_address_before_sign_in(self, db: None) -> None:
        answer = APIClient().get(f"{API}me/")
        assert answer.status_code == 401
        body = {"sign_in_name": "nobody", "phrase": "x"}
        answer = APIClient().post(f"{API}tokens/", body, format="json")
        assert '"sign-in";q=20;w=60' in answer["RateLimit-Policy"]
        assert '"address";q=1200;w=60' in answer["RateLimit-Policy"]

    def test_stand_in_no_page(self, client: Any, db: None) -> None:
        assert "RateLimit" not in client.get("/")

    @pytest.mark.parametrize(
        ("asked_at", "left", "resets"), [([], 3, 0), ([5.0], 2, 55), ([9.0, 5.0, 1.0, 0.5], 0, 51)]
    )
    def test_are_counted(self, asked_at: list[float], left: int, resets: int) -> None:
        found = limit_of("x", 3, 60, asked_at, 10.0)
        assert (found.left, found.resets) == (left, resets)
