"""What progress and review say of members of every kind, and of clubs: nothing that is not so."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from tests.conftest import NOON, Given, make_membership
from tests.counting import count_from_joining
from tests.history import BASE_TURN, past
from tests.web.conftest import ROOT, reader_for, seen
from training.models import Club, Membership, ScrambleSet, Standing

OWN, REVIEW, DAY = f"{ROOT}/progress/", f"{ROOT}/coach/review/", f"{ROOT}/coach/"
MONDAY = NOON + timedelta(days=5)


@pytest.fixture
def a_set(given: Given, clock: Callable[[datetime], None]) -> ScrambleSet:
    """Five crosses of the day before, read on the Monday after."""
    opens = NOON - timedelta(days=1, hours=13)
    found = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5)
    clock(MONDAY)
    return found


def main(page: str) -> str:
    return seen(page.partition("<main")[2].partition("<footer")[0])


def row_of(name: str, coach: Membership) -> str:
    """A member's row of the review, as far as the reach."""
    table = main(reader_for(coach).get(REVIEW)).partition("Members and ideas")[2]
    return table[table.index(name) :][:40]


def test_an_empty_club(coach: Membership) -> None:
    said = main(reader_for(coach).get(REVIEW))
    assert "Nothing stands out for a lesson" in said
    assert "Nobody is clearly" not in said, "of nobody nothing is said"
    assert "No change for the better" in main(reader_for(coach).get(DAY))


def test_who_never_hands_in(coach: Membership, member: Membership, a_set: ScrambleSet) -> None:
    said = main(reader_for(member).get(OWN))
    assert "0 of 5 crosses solved." in said
    assert "It cost 40 of 40 points. Would another time of day suit you better?" in said
    assert "plans not handed in 40" in said
    assert "Nothing was lost" not in said
    assert "Week by week" not in said, "there is no week to show"
    assert row_of("Ines", coach).startswith("Ines plans not handed in 0 of 0 0 none")


def test_who_has_no_plan(
    given: Given, coach: Membership, member: Membership, a_set: ScrambleSet
) -> None:
    past(given, member, a_set, *[None] * 5)
    said = main(reader_for(member).get(OWN))
    assert "0 of 5 crosses solved." in said
    assert "For some crosses you had no plan. It cost 40 of 40 points." in said
    assert "How far ahead: too few solved plans to say" in said
    assert "plans not handed in" not in said
    assert row_of("Ines", coach).startswith("Ines no plan 0 of 5 0 none")


def test_a_coach_who_competes(
    given: Given, coach: Membership, member: Membership, a_set: ScrambleSet
) -> None:
    coach.competes = True
    coach.save()
    count_from_joining(coach)
    past(given, coach, a_set, *["D' R'"] * 4, "U U' D' R'")
    past(given, member, a_set, *["D' R'"] * 5)
    own = main(reader_for(coach).get(OWN))
    assert "My progress, seen by you and the coaches." in own
    assert "undone moves 2" in own
    assert "2 points on 5 crosses." in own
    # Two of two points, and yet no thing to begin with: it is less than five.
    assert "No single thing costs enough to be named first" in own
    assert row_of("Kari", coach).startswith("Kari 5 of 5 2 2+")
    # Both always answer it, so neither group answers it more often.
    for who in (coach, member):
        assert "The group answers it more often." not in main(reader_for(who).get(OWN))


def test_who_joined_yesterday(
    given: Given, club: Club, coach: Membership, a_set: ScrambleSet
) -> None:
    new = make_membership(club, "New", joined_at=NOON - timedelta(hours=13))
    said = main(reader_for(new).get(OWN))
    assert "Random sets that closed in the last 8 weeks: none counts yet." in said
    assert "Nothing to go by yet" in said
    assert "points" not in said
    assert row_of("New", coach).startswith("New 0 of 0 0 none")


def test_a_former_member(
    given: Given, club: Club, coach: Membership, member: Membership, a_set: ScrambleSet
) -> None:
    gone = make_membership(club, "Gone")
    past(given, gone, a_set, *["D R'"] * 5)
    past(given, member, a_set, *["D' R'"] * 5)
    gone.standing = Standing.ARCHIVED
    gone.save()
    review = main(reader_for(coach).get(REVIEW))
    assert "Gone" not in review
    assert "a turn the wrong way" not in review, "a lesson is for those who are there"
    assert "the group 5 of 5 0" in review
    # Whoever coaches may still read what the plans of then show.
    of_then = main(reader_for(coach).get(f"{ROOT}/coach/members/{gone.pk}/"))
    assert "5 of 5 crosses went wrong in this way. It cost 40 of 40 points." in of_then
    # Of somebody erased there is no page: nothing says who the numbers were of.
    gone.standing, gone.display_name, gone.left_at = Standing.FORMER, "", MONDAY
    gone.save()
    assert "the group 5 of 5 0" in main(reader_for(coach).get(REVIEW))
    reader_for(coach).get(f"{ROOT}/coach/members/{gone.pk}/", status=404)


def test_with_the_cross_on_top_the_bottom_is_explained(
    given: Given, club: Club, member: Membership, a_set: ScrambleSet
) -> None:
    explained = "On this page “the bottom” is the side of the cross, wherever it is held."
    past(given, member, a_set, *["z2 U' L'"] * 5)
    said = main(reader_for(member).get(OWN))
    assert "The cross ends on the bottom in 0 of 5 solved plans." in said
    assert "base turn 0 always 5 of 5" in said, "a turn of U is one of the base here"
    assert explained in said
    other = make_membership(club, "M0")
    past(given, other, a_set, *["D' R'"] * 5)
    assert explained not in main(reader_for(other).get(OWN))


def test_a_club_of_equals(
    given: Given, club: Club, coach: Membership, clock: Callable[[datetime], None]
) -> None:
    """Five members, each with one plan in twenty that loses three moves to an idea."""
    people = [make_membership(club, f"M{n}") for n in range(5)]
    for week in range(4):
        opens = NOON - timedelta(days=1 + 7 * week, hours=13)
        a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5)
        for n, one in enumerate(people):
            last = BASE_TURN[2] if week == n % 4 else BASE_TURN[1]
            past(given, one, a_set, *["D' R'"] * 4, last)
    clock(MONDAY)
    for one in people:
        said = main(reader_for(one).get(OWN))
        assert "No single thing yet" in said
        assert "Most went to base turn : 3 points." in said
        assert "needs work" not in said
        assert "The group answers it more often." not in said
        assert "whole group" not in said
    review = main(reader_for(coach).get(REVIEW))
    assert "Nothing stands out for a lesson" in review
    assert "likely needs work" not in review
    assert "Improved most No change for the better" in main(reader_for(coach).get(DAY))
