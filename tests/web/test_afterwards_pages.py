"""A closed set planned again, as a member meets it on the pages."""

from __future__ import annotations

from datetime import timedelta

from solverworker import tasks
from tests.conftest import NOON, Given
from tests.web.conftest import ROOT, reader_for, words
from training.models import Membership, Plan, ScrambleSet


def test_from_the_closed_set_to_the_verdict_and_back(member: Membership, given: Given) -> None:
    old = given.a_set(opens=NOON - timedelta(days=1), closes=NOON - timedelta(hours=1))
    reader = reader_for(member)
    address = f"{ROOT}/sets/{old.pk}/"
    assert "Plan it again, afterwards" in words(reader.get(address))
    reader.post(address, {"do": "again"}, 302)
    own = ScrambleSet.objects.get(again_of=old)
    page = reader.get(f"{ROOT}/sets/{own.pk}/")
    said = words(page)
    assert "Tuesday’s set, afterwards" in said
    assert "stays open for good" in said
    assert "it counts in no table and no review" in said
    assert "The table" not in said
    assert f'href="{address}"' in page
    said = words(reader.enter(own, 1, choice="no_plan", do="read_back"))
    assert "counts 8" not in said
    reader.enter(own, 1, 302, plan="D2 D R'", do="hand_in")
    assert tasks.check_plan.run(Plan.objects.get().pk)
    assert "Solved in 3 moves. The best is 2." in words(reader.get(f"{ROOT}/sets/{own.pk}/1/"))
    assert "Your plans of it afterwards" in words(reader.get(address))
    assert "Your plans afterwards" in words(reader.get(f"{ROOT}/earlier/"))


def test_an_open_set_refuses_in_words(member: Membership, given: Given) -> None:
    today = given.a_set()
    reader = reader_for(member)
    assert "Plan it again" not in words(reader.get(f"{ROOT}/sets/{today.pk}/"))
    said = words(reader.post(f"{ROOT}/sets/{today.pk}/", {"do": "again"}, 409))
    assert "This set is still open." in said
    assert not ScrambleSet.objects.filter(again_of=today).exists()
