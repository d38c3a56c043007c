"""A hold beside a plan, and what the API says of inspections."""

from __future__ import annotations

import uuid

import pytest

from tests.api.test_members_day import plan_url
from tests.conftest import NOON
from training.models import Inspection, Inspects, Plan
from training.rules import Held, Timing

pytestmark = pytest.mark.django_db


def test_two_colours_beside_the_plan_stand_for_its_rotation(given, member, speaks_for) -> None:
    a_set, client = given.a_set(held=Held.FREE), speaks_for(member)
    body = {"key": str(uuid.uuid4()), "plan": "U' L'", "held": "yellow green"}
    handed = client.post(plan_url(a_set), body, format="json")
    assert handed.status_code == 201
    assert (handed.json()["held"], handed.json()["canonical"]) == ("yellow green", "z2 U' L'")
    assert client.post(plan_url(a_set), body, format="json").status_code == 200


@pytest.mark.parametrize(("held", "rule"), [("up down", Held.FREE), ("red blue", Held.WRITTEN)])
def test_a_hold_that_cannot_be_is_refused(given, member, speaks_for, held, rule) -> None:
    a_set = given.a_set(held=rule)
    body = {"key": str(uuid.uuid4()), "plan": "U'", "held": held}
    refused = speaks_for(member).post(plan_url(a_set), body, format="json")
    assert refused.status_code == 400
    assert not Plan.objects.exists()


def test_a_plan_by_the_api_is_untimed_and_says_so(given, member, speaks_for) -> None:
    a_set = given.a_set(timing=Timing.TIMED)
    body = {"key": str(uuid.uuid4()), "plan": "D' R'"}
    told = speaks_for(member).post(plan_url(a_set), body, format="json").json()
    assert (told["inspection"], told["out_of_time"]) == (None, True)


def test_a_time_comes_with_its_doubt_and_its_words(given, member, speaks_for) -> None:
    a_set = given.a_set()
    plan = given.a_plan(member, a_set, 1, "D' R'")
    plan.inspection = Inspection.objects.create(
        membership=member,
        scramble=plan.scramble,
        chosen=Inspects.TIMED,
        begun_at=NOON,
        begun_trip=120,
        ended_at=NOON.replace(second=16),
        ended_trip=80,
    )
    plan.save()
    told = speaks_for(member).get(plan_url(a_set)).json()["inspection"]
    assert told == {
        "milliseconds": 16_000,
        "give_or_take": 120,
        "over": True,
        "late": False,
        "second_look": False,
        "in_time": True,
    }
