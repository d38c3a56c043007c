"""Corrections through the API: each kind, the log, taking back, and what is refused."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.api.conftest import API
from tests.conftest import NOON, Given
from training.models import Membership

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

PLACE = f"{API}clubs/lantern-street/corrections/"


def test_a_coach_corrects_reads_and_takes_back(
    speaks_for, given: Given, coach: Membership, member: Membership
) -> None:
    a_set = given.a_set(spare="B R")
    plan = given.a_plan(member, a_set, 1, "D D2 R'")
    api = speaks_for(coach)
    sent = {"kind": "plan_withdrawn", "plan": plan.pk, "reason": "wrong cube"}
    made = api.post(PLACE, sent, format="json")
    assert made.status_code == 201
    told = made.json()
    assert (told["before"]["excess"], told["after"]["status"]) == (1, "withdrawn")
    of_set = {"set": a_set.pk, "reason": "misprinted"}
    until = (a_set.closes_at + timedelta(hours=1)).isoformat()
    for more in (
        {"kind": "scramble_void", "number": 2},
        {"kind": "spare", "number": 2},
        {"kind": "kept_open", "until": until},
        {"kind": "set_out"},
    ):
        answer = api.post(PLACE, {**of_set, **more}, format="json")
        assert (answer.status_code, answer.json()["kind"]) == (201, more["kind"])
    undone = api.post(f"{PLACE}{told['id']}/undo/", {"reason": "mix-up"}, format="json")
    assert (undone.status_code, undone.json()["undoes"]) == (201, told["id"])
    log = api.get(PLACE).json()
    assert [one["kind"] for one in log["entries"]] == [
        *("plan_withdrawn", "set_out", "kept_open", "spare", "scramble_void", "plan_withdrawn")
    ]
    assert [one["in_force"] for one in log["entries"]] == [True] * 5 + [False]
    assert [one["number"] for one in api.get(f"{PLACE}?start=4").json()["entries"]] == [2, 1]
    table = api.get(f"{API}clubs/lantern-street/sets/{a_set.pk}/table/").json()
    assert table["corrections"][0]["kind"] == "scramble_void"
    assert api.get(f"{API}clubs/lantern-street/sets/{a_set.pk}/").json()["head"]["taken_out"]


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        ({"kind": "scramble_void", "number": 9}, 404),
        ({"kind": "scramble_void"}, 400),
        ({"kind": "kept_open"}, 400),
        ({"kind": "plan_withdrawn", "plan": 10**15}, 404),
        ({"kind": "plan_withdrawn"}, 400),
        ({"kind": "spare", "number": 1}, 409),
        ({"kind": "set_out", "reason": ""}, 400),
        ({"kind": "king"}, 400),
    ],
)
def test_what_cannot_be_corrected_is_refused(
    speaks_for, given: Given, coach: Membership, sent: dict[str, object], status: int
) -> None:
    a_set = given.a_set()
    answer = speaks_for(coach).post(
        PLACE, {"set": a_set.pk, "reason": "misprinted", **sent}, format="json"
    )
    assert answer.status_code == status
    assert answer.json()["status"] == status


def test_another_clubs_entries_are_absent(
    speaks_for, given: Given, coach: Membership, outsider: Membership, other_club
) -> None:
    theirs = given.a_set(club=other_club, opens=NOON - timedelta(hours=1))
    far = f"{API}clubs/far-shore/corrections/"
    sent = {"kind": "set_out", "set": theirs.pk, "reason": "snow"}
    made = speaks_for(outsider).post(far, sent, format="json").json()
    api = speaks_for(coach)
    assert api.post(f"{PLACE}{made['id']}/undo/", {"reason": "x"}, format="json").status_code == 404
    assert api.post(PLACE, sent, format="json").status_code == 404
    assert api.get(PLACE).json()["entries"] == []


def test_a_set_is_open_for_some_at_another_hour(speaks_for, given, coach, member, second) -> None:
    made = given.a_set()
    sent = {
        "kind": "kept_open",
        "reason": "at a school fair",
        "set": made.pk,
        "until": "2026-11-26T03:00:00Z",
        "members": [member.pk],
        "begins": "2026-11-26T01:00:00Z",
    }
    api = speaks_for(coach)
    early = api.post(PLACE, {**sent, "begins": "2026-11-25T11:00:00Z"}, "json")
    assert (early.status_code, early.json()["field"]) == (400, "begins")
    assert api.post(PLACE, {**sent, "members": [10**7]}, "json").status_code == 404
    assert api.post(PLACE, sent, "json").status_code == 201
    assert speaks_for(member).get(f"{API}clubs/lantern-street/sets/{made.pk}/").status_code == 404
    assert speaks_for(second).get(f"{API}clubs/lantern-street/sets/{made.pk}/").status_code == 200
