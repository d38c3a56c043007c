"""What plans leave, by the API: handed in with a pair, sealed like the report, summed up."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest

from solverworker import tasks
from solverworker.report import COLOURS
from tests.api.conftest import API
from tests.api.test_members_day import plan_url
from tests.conftest import NOON, make_membership
from tests.history import weeks_of_plans
from training.models import Outlook, Plan
from training.services import outlooks

pytestmark = pytest.mark.django_db
CLUB = f"{API}clubs/lantern-street/"
LEAVES_MORE = ("B U2 F B U B'", "z2 B U R2 D F")
"""White cross: a scramble, and a shortest way that leaves a pair in 5 where another leaves none."""


def handed(client, a_set, number=1, **entries):
    body = {"key": str(uuid.uuid4()), **entries}
    answer = client.post(plan_url(a_set, number), body, format="json")
    if answer.status_code == 201:
        assert tasks.check_plan.run(answer.json()["id"])
    return answer


def test_a_pair_goes_in_and_comes_back_with_what_it_is_worth(given, member, speaks_for) -> None:
    scramble, plan = LEAVES_MORE
    a_set = given.a_set(scrambles=(scramble,), colours=["white"], answers_to="own_plan")
    client = speaks_for(member)
    answer = handed(client, a_set, plan=plan, pair_ahead="(U R U')  // in")
    assert answer.status_code == 201
    assert answer.json()["pair_written"] == "(U R U')  // in"
    assert answer.json()["pair_canonical"] == "U R U'"
    assert answer.json()["outlook"] is None
    outlooks.work(make=tasks.outlook_maker)
    found = client.get(plan_url(a_set, 1)).json()["outlook"]
    assert (found["own"]["left"], found["shortest"]["left"], found["longer"]["left"]) == (5, 0, 0)
    assert set(found["distances"]) == set(COLOURS)
    assert found["distances"]["white"] == found["own"]["moves"] == 5
    assert found["pair_ahead"]["from_cross"] == 5
    assert found["pair_ahead"]["solved"] is False
    assert found["hands"]["ways"] > 1


def test_an_unreadable_pair_is_refused_by_its_name_and_nothing_is_stored(
    given, member, speaks_for
) -> None:
    a_set, client = given.a_set(), speaks_for(member)
    for pair, code in (("U Q", "unreadable_plan"), ("u r", "all_lower_case")):
        answer = handed(client, a_set, plan="D' R'", pair_ahead=pair)
        assert answer.status_code == 400
        problem = answer.json()
        assert problem["type"].endswith(code)
        assert problem["field"] == "pair_ahead"
    assert not Plan.objects.exists()
    assert handed(client, a_set, plan="D' R'", pair_ahead=7).status_code == 400


@pytest.mark.parametrize("sight", ["closing", "coaches"])
def test_an_outlook_is_sealed_while_the_answers_are(
    given, member, coach, speaks_for, clock, sight
) -> None:
    scramble, plan = LEAVES_MORE
    a_set = given.a_set(scrambles=(scramble,) * 2, colours=["white"], answers_to=sight)
    client = speaks_for(member)
    assert handed(client, a_set, plan=plan, pair_ahead="U R U'").status_code == 201
    outlooks.work(make=tasks.outlook_maker)
    secret = Outlook.objects.get().facts["shortest"]["way"]
    addresses = (
        plan_url(a_set, 1),
        f"{CLUB}sets/{a_set.pk}/",
        f"{CLUB}sets/now/",
        f"{CLUB}sets/",
        f"{CLUB}progress/",
        f"{API}me/data/",
    )
    for address in addresses:
        assert secret not in client.get(address).content.decode(), address
    assert client.get(plan_url(a_set, 1)).json()["pair_canonical"] == "U R U'"
    read = speaks_for(coach).get(f"{CLUB}coach/sets/{a_set.pk}/").content.decode()
    assert secret in read
    clock(NOON + timedelta(days=1))
    told = secret in client.get(plan_url(a_set, 1)).content.decode()
    kept = secret in client.get(f"{API}me/data/").content.decode()
    assert (told, kept) == ((True, True) if sight == "closing" else (False, False))


def test_progress_has_what_plans_leave(given, member, speaks_for) -> None:
    three = ("R F D2", "D2 F' R'", "U D2 F' R' U'")
    weeks_of_plans(given, member, 4, answered=True, scramble=three)
    weeks_of_plans(given, make_membership(given.club, "Other"), 4, answered=False, scramble=three)
    client = speaks_for(member)
    assert client.get(f"{CLUB}progress/").json()["outlook"]["awaited"] == 20
    while outlooks.work(make=tasks.outlook_maker):
        pass
    found = client.get(f"{CLUB}progress/").json()
    assert found["strongest"] is True
    assert found["outlook"]["nearest"] == {"answered": 20, "called": 20}
    assert found["outlook"]["saved"][0] == {"colour": "white", "moves": 20}
    assert found["outlook"]["own_colours"] == ["yellow"]
    assert (found["outlook"]["crosses"], found["outlook"]["awaited"]) == (20, 0)


def test_ones_own_data_has_pair_and_outlook(given, member, speaks_for) -> None:
    a_set, client = given.a_set(answers_to="open"), speaks_for(member)
    handed(client, a_set, plan="D' R'", pair_ahead="U U'")
    outlooks.work(make=tasks.outlook_maker)
    kept = client.get(f"{API}me/data/").json()["clubs"][0]["plans"][0]
    assert (kept["pair_written"], kept["pair_canonical"]) == ("U U'", "U U'")
    assert kept["outlook"] == Outlook.objects.get().facts
