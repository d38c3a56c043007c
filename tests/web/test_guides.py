"""The guides: open to all, each idea by the one registry, each word a tap from its meaning.

Common practice, no source.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

import pytest

from solverworker.causes import IDEAS
from tests.conftest import NOON, Given
from tests.history import past
from tests.web.conftest import ROOT, reader_for, words
from training.agreement import CURRENT, TEXTS
from training.models import Challenge, Kind, Membership, PracticeDue
from training.web.pages import attempt

GUIDES = ("/guide/", "/guide/coaches/", "/guide/parents/")


@pytest.mark.django_db
@pytest.mark.parametrize("address", GUIDES)
def test_everybody_reads_them_and_comes_from_one_to_the_others(address: str) -> None:
    page = reader_for(None).get(address)
    for other in GUIDES:
        assert f'href="{other}"' in page
    here = re.findall(r'href="([^"]+)"\s+aria-current="page"', page)
    assert here == [address]


@pytest.mark.django_db
def test_each_idea_stands_there_with_its_example() -> None:
    page = reader_for(None).get("/guide/")
    for code, idea in IDEAS.items():
        anchor = f'id="idea-{code.replace("_", "-")}"'
        assert page.count(anchor) == 1
        told = words(page[page.index(anchor) :].partition("</div>")[0])
        for text in (idea.meaning, idea.example):
            assert text in told


def anchors(page: str) -> set[str]:
    return set(re.findall(r'id="([^"]+)"', page))


@pytest.mark.parametrize(
    "address", ["today", "progress", "practice", "set", "verdict", "table", "attempt"]
)
def test_a_word_leads_to_its_meaning(address: str, member: Membership, given: Given) -> None:
    """From wherever a member reads it, to an anchor that is there."""
    opens = NOON - timedelta(hours=37)
    old = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",))
    past(given, member, old, "R U' R' B2 D'")
    now_open = given.a_set()
    path = {
        "today": f"{ROOT}/today/",
        "progress": f"{ROOT}/progress/",
        "practice": f"{ROOT}/practice/",
        "set": f"{ROOT}/sets/{old.pk}/",
        "verdict": f"{ROOT}/sets/{old.pk}/1/",
        "table": f"{ROOT}/table/day/2026-11-24/",
        "attempt": f"{ROOT}/sets/{now_open.pk}/1/",
    }[address]
    reader = reader_for(member)
    if address == "practice":
        PracticeDue.objects.create(membership=member, code="base_turn", due_on=date(2026, 11, 25))
    led = set(re.findall(r'href="/guide/#([^"]+)"', reader.get(path)))
    assert led, path
    assert {"attempt": {"cross", "edge", "hold", "planning"}, "table": {"counting"}}.get(
        address, set()
    ) <= led
    assert led <= anchors(reader.get("/guide/"))


def test_a_challenge_leads_to_what_its_words_mean(member: Membership, given: Given) -> None:
    a_set = given.a_set(kind=Kind.CHALLENGE)
    told = Challenge.objects.create(scramble_set=a_set, number=1, announced_at=a_set.opens_at)
    page = reader_for(member).get(f"{ROOT}/challenges/{told.pk}/")
    led = set(re.findall(r'href="/guide/#([^"]+)"', page))
    assert {"cross", "edge", "counting"} <= led
    assert led <= anchors(reader_for(member).get("/guide/"))


def test_jobs_lead_to_pages_for_who_coaches_alone(coach: Membership, member: Membership) -> None:
    page = reader_for(coach).get("/guide/coaches/")
    jobs = set(re.findall(rf'<dt>\s*<a href="({ROOT}/[^"]+)"', page))
    assert len(jobs) == 9
    for address in jobs:
        reader_for(coach).get(address)
    for who in (member, None):
        assert not re.search(rf'<dt>\s*<a href="{ROOT}', reader_for(who).get("/guide/coaches/"))


@pytest.mark.django_db
def test_parents_read_the_very_text_that_a_consent_is_about() -> None:
    assert str(TEXTS[CURRENT]) in words(reader_for(None).get("/guide/parents/"))


@pytest.mark.django_db
def test_what_waits_without_a_connection_is_told_by_the_words_of_its_button() -> None:
    said = words(reader_for(None).get("/guide/"))
    button = (Path(attempt.__file__).parent / "read_here.html").read_text(encoding="utf-8")
    (words_of_button,) = re.findall(r"data-goes-in=\"{% translate '([^']+)' %}\"", button)
    assert f"Tap “{words_of_button}”: it goes in by itself then" in said
    assert "A plan counts if it comes in before the set closes." in said
    of_coaches = words(reader_for(None).get("/guide/coaches/"))
    assert "goes in when the connection is back" in of_coaches
    assert "excuse a time" in of_coaches
