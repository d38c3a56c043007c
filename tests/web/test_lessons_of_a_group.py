"""A lesson reached from a group's review has that group's evidence, and says so."""

from __future__ import annotations

import re
from datetime import timedelta
from urllib.parse import parse_qs, urlsplit

import pytest

from tests.conftest import NOON, Given, make_membership
from tests.grouping import group_named, put_in
from tests.history import BASE_TURN, past
from tests.web.conftest import ROOT, reader_for, seen
from training.models import Club, Membership, ScrambleSet

PAGE = f"{ROOT}/coach/lessons/base_turn/"
HABIT = f"{ROOT}/coach/lessons/wrong_direction/"
GROUP = "Red & blue"
"""A name that an address must quote."""
ASKED = "?group=Red+%26+blue"


@pytest.fixture
def two_groups(given: Given, club: Club) -> ScrambleSet:
    """Two crosses: on the first Cyril of the group did without, on the second Dag of no group."""
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D", "R D"))
    cyril, dag = (make_membership(club, name) for name in ("Cyril", "Dag"))
    put_in(GROUP, cyril)
    past(given, cyril, a_set, BASE_TURN[2], "D R'")
    past(given, dag, a_set, "D' R'", BASE_TURN[2])
    return a_set


@pytest.mark.usefixtures("two_groups")
def test_links_of_a_groups_review_keep_the_group(coach: Membership) -> None:
    reader = reader_for(coach)
    of_group = reader.get(f"{ROOT}/coach/review/{ASKED}")
    hrefs = re.findall(rf'href="({ROOT}/coach/lessons/[^"]+)"', of_group)
    assert len(hrefs) > 5
    assert {parse_qs(urlsplit(one).query)["group"][0] for one in hrefs} == {GROUP}
    of_all = re.findall(
        rf'href="({ROOT}/coach/lessons/[^"]+)"', reader.get(f"{ROOT}/coach/review/")
    )
    assert of_all
    assert not any("?" in one for one in of_all)


@pytest.mark.usefixtures("two_groups")
def test_the_evidence_is_that_groups_and_the_headings_say_so(coach: Membership) -> None:
    reader = reader_for(coach)
    everybody = seen(reader.get(PAGE))
    assert "Tuesday 24 November, scramble 1:" in everybody
    assert "Tuesday 24 November, scramble 2:" in everybody
    page = reader.get(f"{PAGE}{ASKED}&names=1")
    said = seen(page)
    assert "Why this one for Red & blue" in said
    assert "Where it cost Red & blue most" in said
    assert "Counted by the plans of who is in Red & blue now." in said
    assert "Tuesday 24 November, scramble 1:" in said
    assert "Tuesday 24 November, scramble 2:" not in said
    assert "Cyril’s plan: did without" in said
    assert "Dag" not in page
    # Steps, names and the way back stay with the group; the set is offered to it.
    assert "?group=Red+%26amp%3B+blue" not in page
    assert "?group=Red+%26+blue&amp;names=1&amp;cross=1&amp;plan=0" in page
    assert f'href="{ROOT}/coach/review/{ASKED}"' in page
    assert f'href="{PAGE}"' in page
    assert re.search(r'<option value="Red &amp; blue" selected>', page)


@pytest.mark.usefixtures("two_groups")
def test_what_a_habit_cost_is_that_groups(coach: Membership) -> None:
    reader = reader_for(coach)
    assert "It cost 8 points in the last 4 weeks, from 1 member." in seen(reader.get(HABIT))
    said = seen(reader.get(f"{HABIT}{ASKED}&names=1"))
    assert "Whom of Red & blue it costs most" in said
    assert "Cyril 8 of " in said
    # A group in which nobody planned has no evidence at all.
    group_named(coach.club, "Empty")
    said = seen(reader.get(f"{HABIT}?group=Empty"))
    assert "It cost nobody a point in the last 4 weeks." in said


@pytest.mark.usefixtures("two_groups")
def test_there_is_no_lesson_of_a_group_that_is_not_there(coach: Membership) -> None:
    for page in (PAGE, HABIT):
        reader_for(coach).get(f"{page}?group=Painters", status=404)
