"""My plans by month: what stands folded and unfolded, what is said of a set, the way to others.

Common practice, no source.
"""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.conftest import NOON, Given
from tests.web.conftest import ROOT, reader_for, words
from training.models import Membership, ScrambleSet

DAY = timedelta(days=1)


@pytest.fixture
def a_year(member: Membership, given: Given) -> list[ScrambleSet]:
    """A set every tenth day of a year, today's at the end."""
    Membership.objects.filter(pk=member.pk).update(joined_at=NOON - 400 * DAY)
    return [
        given.a_set(opens=NOON - (10 * n) * DAY, closes=NOON - (10 * n - 1) * DAY)
        for n in range(36, -1, -1)
    ]


def summaries(page: str) -> list[str]:
    return [words(one).strip() for one in re.findall(r"<summary>(.*?)</summary>", page, re.DOTALL)]


def test_a_month_at_a_time_newest_first(member: Membership, a_year: list[ScrambleSet]) -> None:
    page = reader_for(member).get(f"{ROOT}/plans/")
    said = summaries(page)
    assert [one.split("  ")[0].split(" open")[0].split(" 0 of")[0] for one in said] == [
        "Wednesday’s set , 25 November",
        "Sunday’s set , 15 November",
        "Thursday’s set , 5 November",
    ]
    assert page.count(" open>") == 1, "the newest alone stands unfolded"
    assert page.index("open>") < page.index(", 15 November")
    assert "Earlier: October" in words(page)
    assert "Later:" not in words(page)


def test_every_month_has_its_address(member: Membership, a_year: list[ScrambleSet]) -> None:
    """By the links from month to month every set of the year is met, each once."""
    reader, address, met = reader_for(member), f"{ROOT}/plans/", []
    for _month in range(20):
        page = reader.get(address)
        met += re.findall(rf'href="{ROOT}/sets/(\d+)/">', page)
        earlier = re.search(r'href="(\?month=[^"]+)">Earlier', page)
        if not earlier:
            break
        address = f"{ROOT}/plans/{earlier[1]}"
    assert met == [str(one.pk) for one in reversed(a_year)]
    assert len(re.findall(r"<option", page)) == 13, "November 2025 to November 2026"


def test_a_month_without_a_set_leads_on(member: Membership, given: Given) -> None:
    Membership.objects.filter(pk=member.pk).update(joined_at=NOON - 400 * DAY)
    given.a_set()
    given.a_set(opens=NOON - 80 * DAY, closes=NOON - 79 * DAY)
    page = reader_for(member).get(f"{ROOT}/plans/?month=2026-10")
    assert "There is no set in this month." in words(page)
    assert "Later: November" in words(page)
    assert "Earlier: September" in words(page)


def test_somebody_new_reads_why_nothing_stands_here(member: Membership) -> None:
    assert "There is no set in this month." in words(reader_for(member).get(f"{ROOT}/plans/"))


def test_what_is_said_of_a_set_follows_from_its_plans(member: Membership, given: Given) -> None:
    old = given.a_set(opens=NOON - 2 * DAY, closes=NOON - DAY, scrambles=("R D",) * 5)
    Membership.objects.filter(pk=member.pk).update(joined_at=NOON - 9 * DAY)
    at = NOON - 2 * DAY + timedelta(hours=1)
    for number, moves in enumerate(("D' R'", "U D' U' R'", "L", None), start=1):
        given.a_plan(member, old, number, moves, at=at)
    (said,) = summaries(reader_for(member).get(f"{ROOT}/plans/"))
    # Best 2: exact, of four moves, solving nothing, without a plan, missing.
    assert said.endswith(
        "4 of 5 planned · 1 exactly the best · 2 moves over the best · 2 not solved"
    )


def test_nothing_sealed_is_told(member: Membership, given: Given) -> None:
    """Answers that open at closing: of an open set there is only how many are planned."""
    today = given.a_set(answers_to="closing", table_to="closing", scrambles=("R D", "D R"))
    given.a_plan(member, today, 1, "D' R'")
    given.a_plan(member, today, 2, "L")
    (said,) = summaries(reader_for(member).get(f"{ROOT}/plans/"))
    assert said.endswith("2 of 2 planned")


def test_a_void_scramble_is_not_counted(
    coach: Membership, member: Membership, given: Given
) -> None:
    old = given.a_set(scrambles=("R D", "D R"))
    given.a_plan(member, old, 1, "D' R'")
    given.a_plan(member, old, 2, "R' D'")
    old.scrambles.filter(number=2).update(void=True)
    (own,) = summaries(reader_for(member).get(f"{ROOT}/plans/"))
    (read,) = summaries(reader_for(coach).get(f"{ROOT}/coach/members/{member.pk}/plans/"))
    assert own.endswith("1 of 1 planned · 1 exactly the best")
    assert read.endswith("1 of 1 planned · 1 exactly the best")


def test_a_month_takes_as_many_queries_with_one_set_as_with_thirty(
    member: Membership, given: Given
) -> None:
    Membership.objects.filter(pk=member.pk).update(joined_at=NOON - 90 * DAY)
    reader = reader_for(member)
    given.a_set()
    taken = []
    for more in (0, 24):
        for n in range(1, more + 1):
            given.a_set(opens=NOON - n * DAY, closes=NOON - n * DAY + DAY / 2)
        with CaptureQueriesContext(
            connection,
        ) as found:
            reader.get(f"{ROOT}/plans/")
        taken.append(len(found))
    assert taken[0] == taken[1] <= 16, taken
