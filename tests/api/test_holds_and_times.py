"""A hold beside a plan, and what the API says of inspections."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest

from tests.api.conftest import API
from tests.api.test_members_day import plan_url
from tests.conftest import EASY, NOON
from training.models import Challenge, Inspection, Inspects, Plan
from training.rules import Held, Timing

pytestmark = pytest.mark.django_db

CLUB = f"{API}clubs/lantern-street/"


def timed(plan: Plan, seconds: int, **fields: object) -> None:
    """Give a plan an inspection of so many seconds, known to within 0.12 s."""
    plan.inspection = Inspection.objects.create(
        **{
            "membership": plan.membership,
            "scramble": plan.scramble,
            "chosen": Inspects.TIMED,
            "begun_at": NOON,
            "begun_trip": 120,
            "ended_at": NOON.replace(second=seconds),
            "ended_trip": 80,
            **fields,
        }
    )
    plan.save()


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


def test_the_list_of_timed_plans_of_a_set(given, member, second, coach, speaks_for) -> None:
    a_set = given.a_set(scrambles=EASY[:2])
    place = f"{CLUB}sets/{a_set.pk}/timed/"
    assert speaks_for(coach).get(place).json() == []
    timed(given.a_plan(member, a_set, 1, "D' R'"), 16)
    timed(given.a_plan(member, a_set, 2, "R' D'"), 10)
    timed(given.a_plan(second, a_set, 1, "D' R'"), 20)  # late: WCA A4d
    timed(given.a_plan(second, a_set, 2, "R' D'"), 5, looked_again_at=NOON)
    (line,) = speaks_for(coach).get(place).json()
    score = line.pop("score")
    assert (score["points"], score["crosses"]) == (0, 2)
    assert line == {
        "membership_id": member.pk,
        "member": "Ines",
        "own": False,
        "mean": 13_000,
        "give_or_take": 120,
        "over": 1,
    }
    assert speaks_for(member).get(place).json()[0]["own"] is True


def test_a_coach_reads_the_inspection_with_each_plan(given, member, coach, speaks_for) -> None:
    a_set = given.a_set(timing=Timing.TIMED)
    plan = given.a_plan(member, a_set, 1, "D' R'")
    timed(plan, 20)
    (who,) = speaks_for(coach).get(f"{CLUB}coach/sets/{a_set.pk}/").json()["handed_in"]
    (told,) = who["plans"]
    assert told["out_of_time"] is True
    inspected = told["inspection"]
    assert (inspected["milliseconds"], inspected["give_or_take"]) == (20_000, 120)
    assert (inspected["over"], inspected["late"], inspected["in_time"]) == (True, True, False)
    table = speaks_for(coach).get(f"{CLUB}sets/{a_set.pk}/table/").json()
    (row,) = [one for one in table["rows"] + table["under_way"] if one["member"] == "Ines"]
    assert row["cells"][0]["state"] == "out_of_time"
    own = speaks_for(member).get(f"{CLUB}sets/{a_set.pk}/").json()["scrambles"][0]["plan"]
    assert own["inspection"] == inspected


def test_a_time_is_excused_and_charged_again(given, member, coach, speaks_for) -> None:
    a_set = given.a_set(timing=Timing.TIMED)
    plan = given.a_plan(member, a_set, 1, "D' R'")
    sent = {"kind": "time_excused", "plan": plan.pk, "reason": "bad line"}
    assert speaks_for(member).post(f"{CLUB}corrections/", sent, format="json").status_code == 403
    made = speaks_for(coach).post(f"{CLUB}corrections/", sent, format="json")
    assert made.status_code == 201
    assert made.json()["after"]["out_of_time"] is False
    assert speaks_for(member).get(plan_url(a_set)).json()["out_of_time"] is False
    again = speaks_for(coach).post(f"{CLUB}corrections/", sent, format="json")
    assert again.status_code == 409
    undo = f"{CLUB}corrections/{made.json()['id']}/undo/"
    assert speaks_for(coach).post(undo, {"reason": "no"}, format="json").status_code == 201
    assert speaks_for(member).get(plan_url(a_set)).json()["out_of_time"] is True


@pytest.mark.parametrize(
    ("sent", "kept"),
    [
        ({}, ("either", "written")),
        ({"timing": "timed"}, ("timed", "written")),
        ({"timing": "untimed", "held": "free"}, ("untimed", "free")),
    ],
)
def test_a_challenge_is_announced_with_its_own_timing(coach, speaks_for, sent, kept) -> None:
    when = {
        "opens_at": (NOON + timedelta(days=1)).isoformat(),
        "closes_at": (NOON + timedelta(days=2)).isoformat(),
    }
    made = speaks_for(coach).post(f"{CLUB}challenges/", when | sent, format="json")
    assert made.status_code == 201
    a_set = Challenge.objects.get().scramble_set
    assert (a_set.timing, a_set.held) == kept
    wrong = speaks_for(coach).post(
        f"{CLUB}challenges/", when | {"timing": "moonlight"}, format="json"
    )
    assert wrong.status_code == 400
