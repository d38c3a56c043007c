"""Challenges, seasons and questions through the API, and what is refused."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.api.conftest import API
from tests.conftest import NOON, Given
from tests.training.challenged import in_each_state
from training.models import Membership, Question, Season

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

CLUB = f"{API}clubs/lantern-street/"


def test_a_coach_announces_and_a_member_reads_of_it(
    speaks_for, coach: Membership, member: Membership
) -> None:
    sent = {
        "opens_at": (NOON + timedelta(days=1)).isoformat(),
        "closes_at": (NOON + timedelta(days=3)).isoformat(),
        "scrambles": 3,
        "name": "Snow",
    }
    made = speaks_for(coach).post(f"{CLUB}challenges/", sent, format="json")
    assert (made.status_code, made.json()["head"]["stage"]) == (201, "announced")
    refused = speaks_for(member).post(f"{CLUB}challenges/", sent, format="json")
    assert (refused.status_code, refused.json()["type"][-11:]) == (403, "not_allowed")
    (head,) = speaks_for(member).get(f"{CLUB}challenges/").json()
    assert (head["name"], head["crosses"], head["number"]) == ("Snow", 3, 1)
    late = sent | {"opens_at": NOON.isoformat()}
    wrong = speaks_for(coach).post(f"{CLUB}challenges/", late, format="json")
    assert wrong.status_code == 400


def test_from_a_question_to_what_stands(
    speaks_for, given: Given, coach: Membership, member: Membership, second: Membership
) -> None:
    challenges = in_each_state(given, coach, member, second)
    asked = challenges["questions"]
    place = f"{CLUB}challenges/{asked.pk}/"
    told = speaks_for(member).get(place).json()
    assert (told["head"]["stage"], told["own"]["rank"], told["planned"]) == ("questions", 1, [1, 2])
    # One's own question is there, and nobody else's.
    assert [one["member"] for one in told["questions"]] == ["Ines"]
    api = speaks_for(coach)
    waits = api.post(f"{place}confirm/")
    assert (waits.status_code, waits.json()["type"][-18:]) == (409, "no_longer_possible")
    (question,) = api.get(f"{CLUB}questions/").json()
    assert (question["member"], question["plan"]) == ("Bashir", "D' R'")
    sent = {"answer": "So.", "correction": "plan_withdrawn", "reason": "as you say"}
    answered = api.post(f"{CLUB}questions/{question['id']}/answer/", sent, format="json")
    assert (answered.status_code, answered.json()["correction"]) == (200, "plan_withdrawn")
    again = api.post(f"{CLUB}questions/{question['id']}/answer/", sent, format="json")
    assert (again.status_code, "Kari" in again.json()["detail"]) == (409, True)
    confirmed = api.post(f"{place}confirm/").json()
    assert [one["score"]["points"] for one in confirmed["result"]["lines"]] == [1, 16]
    season = api.get(f"{CLUB}seasons/{Season.objects.get().pk}/").json()
    assert (season["head"]["name"], season["confirmed_sets"]) == ("AUTUMN", 3)
    still = api.post(f"{CLUB}seasons/{Season.objects.get().pk}/confirm/")
    assert still.status_code == 409


def test_a_question_is_asked_and_read_by_who_asked(
    speaks_for, given: Given, member: Membership, second: Membership, coach: Membership
) -> None:
    a_set = given.a_set()
    place = f"{CLUB}sets/{a_set.pk}/scrambles/1/questions/"
    made = speaks_for(member).post(place, {"words": "Why?"}, format="json")
    assert (made.status_code, made.json()["plan_id"]) == (201, None)
    twice = speaks_for(member).post(place, {"words": "Why?"}, format="json")
    assert twice.status_code == 409
    assert [one["words"] for one in speaks_for(member).get(place).json()] == ["Why?"]
    assert speaks_for(second).get(place).json() == []
    assert speaks_for(second).get(f"{CLUB}questions/").status_code == 403
    assert speaks_for(coach).get(place).json() == []


def test_another_clubs_are_absent(
    speaks_for, given: Given, coach: Membership, member, second, outsider: Membership
) -> None:
    challenges = in_each_state(given, coach, member, second)
    far = f"{API}clubs/far-shore/"
    api = speaks_for(outsider)
    assert api.get(f"{far}challenges/{challenges['posted'].pk}/").status_code == 404
    assert api.get(f"{far}seasons/{Season.objects.get().pk}/").status_code == 404
    waiting = Question.objects.waiting().get()
    sent = {"answer": "So."}
    answer = api.post(f"{far}questions/{waiting.pk}/answer/", sent, format="json")
    assert answer.status_code == 404
