"""Reviews by the API: the same as on the pages, for the same people."""

from __future__ import annotations

from datetime import timedelta

import pytest

from solverworker import tasks
from tests.api.conftest import API
from tests.conftest import NOON, make_membership
from tests.history import BASE_TURN, past, weeks_of_plans
from training import statistics
from training.rules import Sight
from training.services import catching_up

pytestmark = pytest.mark.django_db

MONDAY = NOON + timedelta(days=5)
"""The Monday after: the first look that sees what closed this week."""
CLUB = f"{API}clubs/lantern-street/"


def of_member(member) -> str:
    return f"{CLUB}coach/members/{member.pk}/progress/"


@pytest.fixture
def ines_lacks_it(given, club, member) -> None:
    weeks_of_plans(given, member, 4, answered=False)
    for n in range(5):
        weeks_of_plans(given, make_membership(club, f"M{n}"), 4, answered=True)


@pytest.mark.usefixtures("ines_lacks_it")
def test_own_progress_and_the_same_for_a_coach(member, coach, speaks_for, clock) -> None:
    clock(MONDAY)
    own = speaks_for(member).get(f"{CLUB}progress/").json()
    assert (own["member"], own["plans"], own["lost"]) == ("Ines", 20, 60)
    # The longer way round builds off its centres, which the others never need to.
    assert (own["to_work_on"], own["strong"]) == (["base_turn"], ["relative_build"])
    line = next(one for one in own["techniques"] if one["code"] == "base_turn")
    assert line["tally"] == {"answered": 0, "called": 20}
    assert line["interval"]["high"] == pytest.approx(statistics.wilson(0, 20).high)
    assert line["standing"] == "likely needs work"
    assert own["account"]["points"] == {"base_turn": "60"}
    assert own["first"] == "base_turn"
    assert own["account"]["reach"]["solved"] == 20
    assert own["trend"] is None
    assert {one["code"] for one in own["examples"]} == {"base_turn"}
    assert speaks_for(coach).get(of_member(member)).json() == own


@pytest.mark.usefixtures("ines_lacks_it")
def test_the_group_review_with_its_filters(coach, speaks_for, clock) -> None:
    clock(MONDAY)
    client = speaks_for(coach)
    found = client.get(f"{CLUB}coach/review/").json()
    first = found["techniques"][0]
    assert (first["code"], first["lacking"]) == ("base_turn", ["Ines"])
    assert first["tally"] == {"answered": 100, "called": 120}
    assert found["target"] == 0.7
    assert len(found["members"]) == 6
    assert len(found["scrambles"]) == 15  # the set of five weeks ago is out of sight
    assert [len(found["week_means"]), found["weeks"]] == [4, 4]
    picked = client.get(f"{CLUB}coach/review/", {"weeks": 8, "drawn": "picked"}).json()
    assert (len(picked["week_means"]), picked["scrambles"]) == (8, [])
    for wrong in ({"weeks": 0}, {"weeks": "many"}, {"drawn": "painted"}):
        assert client.get(f"{CLUB}coach/review/", wrong).status_code == 400
    assert client.get(f"{CLUB}coach/review/", {"group": "Painters"}).status_code == 404


def test_what_the_weeks_moves_were_lost_to(given, member, coach, speaks_for) -> None:
    given.a_plan(member, given.a_set(), 1, BASE_TURN[2])
    found = speaks_for(coach).get(f"{CLUB}coach/overview/").json()
    assert found["lost_to"] == [{"code": "base_turn", "lost": 3.0}]


def test_nobody_else_gets_there(member, second, coach, outsider, speaks_for) -> None:
    for path in (of_member(member), f"{CLUB}coach/review/"):
        assert speaks_for(second).get(path).status_code == 403
        assert speaks_for(None).get(path).status_code == 401
    absent = speaks_for(coach).get(f"{CLUB}coach/members/{10**7}/progress/")
    for path in (of_member(member), f"{CLUB}coach/review/", f"{CLUB}progress/"):
        stranger = speaks_for(outsider).get(path)
        assert (stranger.status_code, stranger.content) == (404, absent.content)
    elsewhere = speaks_for(coach).get(of_member(outsider))
    assert (elsewhere.status_code, elsewhere.content) == (404, absent.content)


def test_answers_for_the_coaches_alone_stay_theirs(given, member, coach, speaks_for) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(
        opens=opens,
        closes=opens + timedelta(days=1),
        answers_to=Sight.COACHES,
        table_to=Sight.COACHES,
    )
    past(given, member, a_set, BASE_TURN[2])
    assert speaks_for(member).get(f"{CLUB}progress/").json()["lost"] == 0
    assert speaks_for(coach).get(of_member(member)).json()["lost"] == 3


def test_a_set_still_open_is_in_no_review(given, member, coach, speaks_for) -> None:
    given.a_plan(member, given.a_set(), 1, BASE_TURN[2])
    assert speaks_for(member).get(f"{CLUB}progress/").json()["plans"] == 0
    assert speaks_for(coach).get(f"{CLUB}coach/review/").json()["scrambles"] == []


@pytest.mark.usefixtures("ines_lacks_it")
def test_reviews_say_while_an_upgrade_still_brings_their_sums_up_to_date(
    member, coach, speaks_for, clock
) -> None:
    clock(MONDAY)
    asked = [
        (speaks_for(member), f"{CLUB}progress/"),
        (speaks_for(coach), of_member(member)),
        (speaks_for(coach), f"{CLUB}coach/review/"),
    ]
    assert [client.get(path).json()["catches_up"] for client, path in asked] == [False] * 3
    assert catching_up.mark_if_due(upgraded=True)
    assert [client.get(path).json()["catches_up"] for client, path in asked] == [True] * 3
    catching_up.catch_up(check=tasks.checker, say=lambda _: None, now=MONDAY)
    assert [client.get(path).json()["catches_up"] for client, path in asked] == [False] * 3
