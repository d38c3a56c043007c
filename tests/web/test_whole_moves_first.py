"""Means are read in whole moves first, and every column's meaning is one tap away.

The rule, common practice, no source: the nearest whole number, the greater of two that are equally
near, with "about" before what is no whole number; less than a half is "less than 1".
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from fractions import Fraction

import pytest

from tests.conftest import NOON, Given
from tests.history import past
from tests.web.conftest import ROOT, reader_for, words
from training import clock
from training.models import Membership, Season
from training.selectors.attempts import InspectionView
from training.selectors.inspection_times import InspectionTimes, PlansTogether, TimedPlan
from training.web.pages.progress.times import show_times
from training.web.saying.levels import mean_words
from training.web.saying.plainly import about_seconds

DAY = timedelta(days=1)


@pytest.fixture
def three_sets(given: Given, member: Membership, second: Membership) -> None:
    """Monday, Tuesday and last week: Ines 2, 1 and 2 over, Bashir nothing."""
    for days, plan in ((2, "D' R' U U'"), (1, "D' R' U"), (8, "D' R' U U'")):
        opens = NOON - days * DAY - timedelta(hours=12)
        a_set = given.a_set(opens=opens, closes=opens + DAY, scrambles=("R D",))
        past(given, member, a_set, plan)
        past(given, second, a_set, "D' R'")


@pytest.mark.parametrize(
    ("mean", "said"),
    [
        (Fraction(0), "0 moves over"),
        (Fraction(1, 3), "less than 1 move over"),
        (Fraction(1, 2), "about 1 move over"),
        (Fraction(5, 2), "about 3 moves over"),
        (Fraction(249, 100), "about 2 moves over"),
        (Fraction(3), "3 moves over"),
    ],
)
def test_the_sentence_follows_from_the_mean(mean: Fraction, said: str) -> None:
    sentence = mean_words(2, 5, mean, 4)
    assert f"number 2 of 5, with {said} in a set" in sentence
    assert ("tenths are below" in sentence) is (mean.denominator != 1)


@pytest.mark.parametrize(
    ("milliseconds", "said"),
    [(14_499, "about 14 seconds"), (14_500, "about 15 seconds"), (15_000, "15 seconds")],
)
def test_a_time_follows_from_its_milliseconds(milliseconds: int, said: str) -> None:
    assert about_seconds(milliseconds) == said


@pytest.mark.usefixtures("three_sets")
def test_all_time_says_it_before_the_table_which_keeps_the_tenths(
    member: Membership, second: Membership, coach: Membership
) -> None:
    said = words(reader_for(member).get(f"{ROOT}/table/all/"))
    plainly = "You are number 2 of 2, with about 2 moves over in a set. That is by 3 sets"
    assert said.index(plainly) < said.index("mean over")
    assert re.search(r"2 Ines you 1\.7 3 ", said)
    said = words(reader_for(second).get(f"{ROOT}/table/all/"))
    assert "You are number 1 of 2, with 0 moves over in a set. That is by 3 sets." in said
    # Who has no line is told of none.
    assert "You are number" not in words(reader_for(coach).get(f"{ROOT}/table/all/"))


@pytest.mark.usefixtures("three_sets")
def test_who_is_not_in_all_sets_of_a_week_is_told_of_both(member: Membership, clock_of) -> None:
    clock_of(member, NOON - 1.5 * DAY)
    said = words(reader_for(member).get(f"{ROOT}/table/week/2026-11-25/"))
    assert (
        "Not all sets of this week count for you. You are number 1 of 1, with 1 move over in a set."
    ) in said


@pytest.fixture
def clock_of():
    """Let a membership count only from an instant on."""

    def since(membership: Membership, begins) -> None:
        membership.counting_periods.update(begins_at=begins)

    return since


@pytest.mark.usefixtures("three_sets")
def test_a_season_says_where_one_stands(member: Membership) -> None:
    season = Season.objects.create(
        club=member.club,
        name="Winter",
        kinds=["daily"],
        first_day=clock.local_date(NOON - 10 * DAY, member.club.zone),
        last_day=clock.local_date(NOON + 10 * DAY, member.club.zone),
    )
    said = words(reader_for(member).get(f"{ROOT}/seasons/{season.pk}/"))
    assert "You are number 2 of 2, with 5 moves over." in said


@pytest.mark.usefixtures("three_sets")
@pytest.mark.parametrize("table", ["day/2026-11-24", "week/2026-11-25", "all"])
def test_what_stands_above_a_column_leads_to_its_meaning(member: Membership, table: str) -> None:
    page = reader_for(member).get(f"{ROOT}/table/{table}/")
    heads = re.search(r"<thead>(.*?)</thead>", page, re.DOTALL)
    assert heads
    led = dict(re.findall(r'href="/guide/#([^"]+)">([^<]+)<', heads[1]))
    means = {"mean-over": "mean over", "sets": "sets"} if table == "all" else {"over": "moves over"}
    assert led == {**means, "solved": "solved", "exact": "exact"}
    guide = reader_for(None).get("/guide/")
    for anchor, head in led.items():
        told = re.search(rf'<div id="{anchor}">\s*<dt>\s*([^<]+?)\s*</dt>', guide)
        assert told
        assert told[1].lower() == head


def test_time_of_inspection_is_said_in_whole_numbers_with_the_exact_ones_a_tap_away(
    member: Membership, coach: Membership
) -> None:
    found = InspectionTimes(
        in_time=PlansTogether(plans=8, solved=8, lost=13),
        others=PlansTogether(plans=5, solved=4, lost=1),
        over=0,
        late=0,
        second_look=0,
        mean=13_480,
        give_or_take=100,
        latest=(
            TimedPlan(
                1, 1, date(2026, 11, 24), 1, InspectionView(13_480, 90, *[False] * 3, True), 0
            ),
        ),
    )
    today = date(2026, 11, 25)
    own = show_times(member, found, today, own=True)
    assert own is not None
    assert own.sentences == (
        "Timed: 8 plans, about 13 seconds on average. "
        "For each that is solved: about 2 moves over the best.",
        "Not timed, or not in time: 5 plans. "
        "For each that is solved: less than 1 move over the best.",
    )
    exactly = (
        "Timed: 8 plans, 13.5 s on average. For each that is solved: 1.6 over the best.",
        "Not timed, or not in time: 5 plans. For each that is solved: 0.2 over the best.",
    )
    assert own.exactly == exactly
    of_member = show_times(coach, found, today, own=False)
    assert of_member is not None
    assert (of_member.sentences, of_member.exactly) == (exactly, ())
