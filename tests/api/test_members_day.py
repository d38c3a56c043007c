"""A member's day by the API: sign in, today's set, hand in, verdict, table."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest
from rest_framework.test import APIClient

from solverworker import tasks
from tests.api.conftest import API
from tests.conftest import NOON, PHRASE
from training.models import Plan

pytestmark = pytest.mark.django_db
CLUB = f"{API}clubs/lantern-street/"


def plan_url(a_set, number: int = 1) -> str:
    return f"{CLUB}sets/{a_set.pk}/scrambles/{number}/plan/"


def test_from_sign_in_to_the_table(given, member) -> None:
    a_set = given.a_set()
    client = APIClient()
    asked = {"sign_in_name": "ines", "phrase": PHRASE, "scopes": ["read_own", "hand_in"]}
    signed = client.post(f"{API}tokens/", asked, format="json")
    assert signed.status_code == 201
    client.credentials(HTTP_AUTHORIZATION=f"Bearer {signed.json()['token']}")
    assert client.get(f"{API}me/").json()["clubs"][0]["slug"] == "lantern-street"

    (today,) = client.get(f"{CLUB}sets/now/").json()
    assert today["head"]["id"] == a_set.pk
    assert [one["state"] for one in today["scrambles"]] == ["to_plan"] * 5
    assert today["scrambles"][0]["text"] == "R D"

    handed = client.post(
        plan_url(a_set), {"key": str(uuid.uuid4()), "plan": "D2 D R'"}, format="json"
    )
    assert handed.status_code == 201
    assert handed.json()["state"] == "waiting"
    assert tasks.check_plan.run(handed.json()["id"])

    verdict = client.get(plan_url(a_set)).json()
    assert (verdict["state"], verdict["moves"]) == ("checked", 3)
    assert verdict["report"]["excess"] == 1
    assert [row["loss"] for row in verdict["report"]["ledger"]] == [1, 0, 0]
    shortest = verdict["report"]["shortest"][0]
    assert (shortest["colour"], shortest["text"]) == ("yellow", "D' R'")
    assert shortest["ideas"] == [{"technique": "base_turn", "turns": [0]}]
    assert verdict["report"]["techniques"]["blame"] == {"undone_moves": "1"}
    assert verdict["report"]["lost"][0]["kind"] == "joined"

    sealed = client.get(f"{CLUB}sets/{a_set.pk}/table/").json()
    assert (sealed["rows"], len(sealed["sealed"])) == ([], 1)
    for number in range(2, 6):
        body = {"key": str(uuid.uuid4()), "no_plan": True}
        assert client.post(plan_url(a_set, number), body, format="json").status_code == 201
    table = client.get(f"{CLUB}sets/{a_set.pk}/table/").json()
    assert table["rows"][0]["member"] == "Ines"
    assert table["so_far"]

    assert client.delete(f"{API}tokens/current/").status_code == 204
    assert client.get(f"{API}me/").status_code == 401


def test_the_same_key_twice_is_one_plan_and_answers_200(given, member, speaks_for) -> None:
    a_set, client = given.a_set(), speaks_for(member)
    body = {"key": str(uuid.uuid4()), "plan": "D' R'"}
    first = client.post(plan_url(a_set), body, format="json")
    again = client.post(plan_url(a_set), body, format="json")
    assert (first.status_code, again.status_code) == (201, 200)
    assert again.json()["id"] == first.json()["id"]
    assert Plan.objects.count() == 1


def test_the_same_key_after_closing_gives_the_first_answer(
    given, member, speaks_for, clock
) -> None:
    a_set, client = given.a_set(), speaks_for(member)
    body = {"key": str(uuid.uuid4()), "plan": "D' R'"}
    first = client.post(plan_url(a_set), body, format="json")
    clock(a_set.closes_at + timedelta(hours=2))
    again = client.post(plan_url(a_set), body, format="json")
    assert (again.status_code, again.json()["id"]) == (200, first.json()["id"])


REFUSALS = [
    ({"plan": "D R4"}, 400, "unreadable_plan"),
    ({"plan": "🙂"}, 400, "unreadable_plan"),
    ({"plan": "U D " * 41}, 400, "plan_too_long"),
    ({"plan": "x" * 3000}, 400, "plan_too_long"),
    ({"plan": ""}, 400, "empty_plan"),
    ({"plan": "r u r'"}, 400, "all_lower_case"),
    ({"plan": "R", "no_plan": True}, 400, "invalid_entry"),
    ({"plan": ["R"]}, 400, "invalid_entry"),
    ({"plan": "R", "key": "seven"}, 400, "invalid_entry"),
    ({"plan": "R\0"}, 400, "invalid_entry"),
]


@pytest.mark.parametrize(("body", "status", "code"), REFUSALS)
def test_bad_plans_are_problems_with_words_and_store_nothing(
    given, member, speaks_for, body, status, code
) -> None:
    response = speaks_for(member).post(
        plan_url(given.a_set()), {"key": str(uuid.uuid4()), **body}, format="json"
    )
    assert response.status_code == status
    assert response["Content-Type"] == "application/problem+json"
    problem = response.json()
    # RFC 9457, section 3.1: the members of a problem details object.
    assert {"type", "title", "status", "detail"} <= set(problem)
    assert problem["type"].endswith(code)
    assert problem["status"] == status
    assert not Plan.objects.exists()


def test_an_unreadable_plan_names_kind_token_and_place(given, member, speaks_for) -> None:
    body = {"key": str(uuid.uuid4()), "plan": "D R4 U"}
    problem = speaks_for(member).post(plan_url(given.a_set()), body, format="json").json()
    assert (problem["kind"], problem["token"], problem["position"]) == ("suffix", "R4", 2)
    assert "character 3" in problem["detail"]


def test_a_second_plan_is_409_and_shows_the_first(given, member, speaks_for) -> None:
    a_set, client, key = given.a_set(), speaks_for(member), str(uuid.uuid4())
    client.post(plan_url(a_set), {"key": key, "plan": "D' R'"}, format="json")
    for body in ({"key": key, "plan": "R U"}, {"key": str(uuid.uuid4()), "plan": "R U"}):
        response = client.post(plan_url(a_set), body, format="json")
        assert response.status_code == 409
        assert response.json()["plan"] == "D' R'"


def test_a_closed_set_is_409(given, member, speaks_for, clock) -> None:
    a_set = given.a_set()
    clock(a_set.closes_at)
    body = {"key": str(uuid.uuid4()), "plan": "D' R'"}
    response = speaks_for(member).post(plan_url(a_set), body, format="json")
    assert (response.status_code, response.json()["type"][-10:]) == (409, "set_closed")


def test_a_megabyte_is_413_and_no_json_is_400(given, member, speaks_for) -> None:
    a_set, client = given.a_set(), speaks_for(member)
    huge = client.post(
        plan_url(a_set), '{"plan": "' + "R " * 500_000 + '"}', content_type="application/json"
    )
    assert (huge.status_code, huge["Content-Type"]) == (413, "application/problem+json")
    broken = client.post(plan_url(a_set), "{plan", content_type="application/json")
    assert (broken.status_code, broken["Content-Type"]) == (400, "application/problem+json")
    other = client.post(plan_url(a_set), "plan=R", content_type="text/plain")
    assert other.status_code == 415


def test_own_sets_come_in_pages(given, member, speaks_for) -> None:
    for n in range(16):
        given.a_set(
            opens=NOON - timedelta(days=n, hours=13),
            closes=NOON - timedelta(days=n - 1, hours=13),
            day=(NOON - timedelta(days=n)).date(),
        )
    client = speaks_for(member)
    assert len(client.get(f"{CLUB}sets/").json()) == 14
    assert len(client.get(f"{CLUB}sets/?page=2").json()) == 2
    for page in ("0", "x", "-1", "9" * 30, "²"):
        assert client.get(f"{CLUB}sets/", {"page": page}).status_code == 404
