"""What a hand-in may cost: at most five queries, however large the set and the club are."""

from __future__ import annotations

import uuid

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests.api.test_members_day import plan_url
from tests.conftest import EASY, make_membership

pytestmark = pytest.mark.django_db

MOST = 5


def asked(captured: CaptureQueriesContext) -> list[str]:
    """The queries without the savepoints of the test's own transaction."""
    said = [one["sql"] for one in captured.captured_queries]
    return [one for one in said if "SAVEPOINT" not in one]


def test_a_hand_in_takes_five_queries_at_most(given, club, member, second, speaks_for) -> None:
    small, large = given.a_set(), given.a_set(kind="club_night", scrambles=EASY * 8)
    for number in range(2, 30):
        given.a_plan(member, large, number, "D' R'", checked=number < 4)
    for number in range(5):
        given.a_plan(make_membership(club, f"Member {number}"), large, 1, "D' R'", checked=False)
    client = speaks_for(member)
    counts = []
    for a_set in (small, large):
        body = {"key": str(uuid.uuid4()), "plan": "D2 D R'"}
        with CaptureQueriesContext(connection) as captured:
            assert client.post(plan_url(a_set), body, format="json").status_code == 201
        counts.append(len(asked(captured)))
    assert counts[0] == counts[1] <= MOST, counts


def test_the_answer_to_a_hand_in_is_what_a_look_shows(given, member, speaks_for) -> None:
    a_set, client = given.a_set(answers_to="own_plan"), speaks_for(member)
    for number, body in enumerate(({"plan": "D’ (R3)"}, {"no_plan": True}), start=1):
        sent = {"key": str(uuid.uuid4()), **body}
        handed = client.post(plan_url(a_set, number), sent, format="json")
        assert handed.status_code == 201
        assert handed.json() == client.get(plan_url(a_set, number)).json()


def test_a_hand_in_on_the_page_takes_as_many_queries_in_a_large_set(given, member) -> None:
    client = Client()
    client.force_login(member.person, backend="training.services.backends.PhraseBackend")
    counts = []
    for a_set in (given.a_set(), given.a_set(kind="club_night", scrambles=EASY * 8)):
        entry = {"plan": "D' R'", "key": str(uuid.uuid4()), "do": "hand_in"}
        with CaptureQueriesContext(connection) as captured:
            sent = client.post(f"/c/lantern-street/sets/{a_set.pk}/1/", entry)
        assert sent.status_code == 302
        counts.append(len(asked(captured)))
    # Session, person and membership; set, scrambles, own plans, corrections and groups; the
    # scramble, the inspection, the row, and the draft that goes.
    assert counts == [12, 12]
