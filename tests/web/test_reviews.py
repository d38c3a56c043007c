"""The group review: ideas by need, members sorted without script, items, weeks, the CSV."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.conftest import NOON, Given, make_membership
from tests.grouping import put_in
from tests.history import BASE_TURN, past, weeks_of_plans
from tests.web.conftest import ROOT, Reader, reader_for, seen
from training.models import Club, Drawn, Membership
from training.sheets import BOM

PAGE = f"{ROOT}/coach/review/"
OWN = f"{ROOT}/progress/"
CSV = f"{ROOT}/coach/review.csv"
MONDAY = NOON + timedelta(days=5)
"""The Monday after: the first look that sees what closed this week."""

Clock = Callable[[datetime], None]


@pytest.fixture
def ines_lacks_it(given: Given, club: Club, member: Membership) -> None:
    """Four weeks in which everybody but Ines answers one technique."""
    weeks_of_plans(given, member, 4, answered=False)
    for n in range(5):
        weeks_of_plans(given, make_membership(club, f"M{n}"), 4, answered=True)


def names_in_order(page: str) -> list[str]:
    """The members' names as the table has them."""
    table = page[page.index('id="members"') : page.index('id="items"')]
    return re.findall(r'class="plan-link" href="[^"]+">([^<]+)<', table)


def lines_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.removeprefix(BOM), newline="")))


@pytest.mark.usefixtures("ines_lacks_it")
def test_the_next_lesson_is_named_with_who_needs_it(coach: Membership, clock: Clock) -> None:
    clock(MONDAY)
    page = reader_for(coach).get(f"{PAGE}?weeks=8")
    said = seen(page)
    assert "Next lesson: base turn" in said
    # 60 points in the five weeks since the first set, of somebody who is surely below the target.
    assert "A lesson on it could save up to 12 points a week. Likely need it: Ines." in said
    assert "Everybody who competes · random sets that have closed since Monday" in said
    assert "moves lost per solved plan" in said
    assert f'href="{ROOT}/coach/lessons/base_turn/"' in page
    # Four sets: too few to say how far the group's rate may be off.
    assert re.search(r"base turn 12 100 of 120 Ines", said)
    assert re.search(r"Ines base turn 20 of 20 60 3\b", said), "what costs her most, and her reach"
    # The line of the whole group stands under the members'.
    assert re.search(r"the group 120 of 120 60 ", said)


def test_when_everybody_lacks_it_the_group_does(
    given: Given, club: Club, coach: Membership, clock: Clock
) -> None:
    people = [make_membership(club, f"M{n}") for n in range(5)]
    for one in people:
        weeks_of_plans(given, one, 1, answered=False)
    clock(MONDAY)
    said = seen(reader_for(coach).get(PAGE))
    assert "The whole group is learning it: below the target of 70 in 100." in said
    assert "the whole group is learning it: below the target of 70 in 100" in said
    assert "M0" not in said[: said.index("Members and ideas")]
    # The member reads the same on the same day, and the coach on the member's page.
    assert "Your whole group is learning this." in seen(reader_for(people[0]).get(OWN))
    page = reader_for(coach).get(f"{ROOT}/coach/members/{people[0].pk}/")
    assert "The whole group is learning it." in seen(page)
    lesson = seen(reader_for(coach).get(f"{ROOT}/coach/lessons/base_turn/"))
    assert "The whole group is learning it: below the target of 70 in 100." in lesson


def test_what_stands_in_the_need_of_a_slip(
    given: Given, coach: Membership, member: Membership, second: Membership
) -> None:
    """One turn the wrong way round, eight times: 64 points in the club's first week."""
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 8)
    past(given, member, a_set, *["D R'"] * 8)
    past(given, second, a_set, *["D' R'"] * 8)
    said = seen(reader_for(coach).get(PAGE))
    assert "Next lesson: a turn the wrong way" in said
    assert "A lesson on it could save up to 64 points a week." in said
    assert "It is the first thing to look at for Ines." in said
    assert "a turn the wrong way 64 comes first for Ines" in said


def test_a_club_without_plans_has_no_lesson_and_says_why(coach: Membership) -> None:
    said = seen(reader_for(coach).get(PAGE))
    assert "Nothing stands out for a lesson" in said
    assert "Nobody competes in this group." in said
    assert "Scrambles stand here once a set has closed." in said


@pytest.mark.usefixtures("ines_lacks_it")
class TestSorting:
    def test_names_at_first_and_the_head_says_so(self, coach: Membership) -> None:
        page = reader_for(coach).get(PAGE)
        assert names_in_order(page) == ["Ines", "M0", "M1", "M2", "M3", "M4"]
        assert page.count("aria-sort=") == 1
        assert re.search(
            r'aria-sort="ascending"\s*>\s*<a class="sort-link" href="[^"]*sort=-member', page
        )

    def test_by_moves_lost_by_an_idea_and_turned_about(self, coach: Membership) -> None:
        reader = reader_for(coach)
        assert names_in_order(reader.get(f"{PAGE}?sort=-member"))[0] == "M4"
        assert names_in_order(reader.get(f"{PAGE}?sort=-lost"))[0] == "Ines"
        assert names_in_order(reader.get(f"{PAGE}?sort=base_turn"))[0] == "Ines"
        page = reader.get(f"{PAGE}?sort=-base_turn")
        assert names_in_order(page)[-1] == "Ines"
        assert re.search(
            r'aria-sort="descending"\s*>\s*<a class="sort-link" href="[^"]*=base_turn', page
        )

    def test_who_has_no_evidence_comes_last_either_way(self, club: Club, coach: Membership) -> None:
        make_membership(club, "Aud")
        for sort in ("base_turn", "-base_turn"):
            assert names_in_order(reader_for(coach).get(f"{PAGE}?sort={sort}"))[-1] == "Aud"

    def test_what_cannot_be_sorted_by_is_as_if_not_asked(self, coach: Membership) -> None:
        page = reader_for(coach).get(f"{PAGE}?sort=height&weeks=9&drawn=painted")
        assert names_in_order(page)[0] == "Ines"
        assert 'value="4" selected' in page

    def test_the_filters_stay_when_a_head_is_pressed(self, coach: Membership) -> None:
        page = reader_for(coach).get(f"{PAGE}?weeks=8&sort=lost")
        hrefs = re.findall(r'class="sort-link" href="([^"]+)"', page)
        assert hrefs
        assert all("weeks=8" in href for href in hrefs)


class TestFilters:
    def test_a_group_alone(
        self, given: Given, club: Club, coach: Membership, member: Membership, second: Membership
    ) -> None:
        put_in("Builders", member)
        weeks_of_plans(given, member, 1, answered=True)
        weeks_of_plans(given, second, 1, answered=True)
        page = reader_for(coach).get(f"{PAGE}?group=Builders")
        assert names_in_order(page) == ["Ines"]
        assert 'value="Builders" selected' in page
        reader_for(coach).get(f"{PAGE}?group=Painters", status=404)

    def test_homework_is_looked_at_by_itself(
        self, given: Given, coach: Membership, member: Membership, clock: Clock
    ) -> None:
        clock(MONDAY)
        weeks_of_plans(given, member, 1, answered=True)
        opens = NOON - timedelta(days=3)
        picked = given.a_set(
            opens=opens, closes=opens + timedelta(days=1), drawn=Drawn.PICKED, kind="homework"
        )
        past(given, member, picked, BASE_TURN[2])
        reader = reader_for(coach)
        assert re.search(r"base turn 0 5 of 5", seen(reader.get(PAGE)))
        assert "best 2, not solved" not in reader.get(PAGE), "a scramble is no plan"
        early = seen(reader.get(f"{PAGE}?drawn=picked&weeks=4&group="))
        assert "No set of this kind" not in early
        picked = seen(reader.get(f"{PAGE}?drawn=picked"))
        assert re.search(r"base turn \d\.\d 0 of 1 ", picked)
        assert re.search(r"Ines plans not handed in 1 of 1 3 ", picked)

    def test_where_no_set_has_closed_nothing_is_said_of_the_group(self, coach: Membership) -> None:
        said = seen(reader_for(coach).get(f"{PAGE}?drawn=picked"))
        assert "Everybody who competes · picked sets that have closed since Monday" in said
        assert "No set of this kind has closed in these weeks with a checked plan." in said
        assert "Nobody is clearly below" not in said

    def test_weeks(self, given: Given, coach: Membership, member: Membership) -> None:
        weeks_of_plans(given, member, 6, answered=True)
        reader = reader_for(coach)
        assert "20 of 20" in seen(reader.get(PAGE))
        assert "30 of 30" in seen(reader.get(f"{PAGE}?weeks=8"))


def test_who_went_quiet_and_which_scramble_stands_out(
    given: Given, club: Club, coach: Membership, member: Membership
) -> None:
    people = [make_membership(club, f"M{n:02}") for n in range(12)]
    for n in range(6):
        opens = NOON - timedelta(days=n + 1, hours=13)
        a_set = given.a_set(
            opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) if n else ("D R",)
        )
        for one in people:
            past(given, one, a_set, "D' R'" if n else "U R' U' D'")
    said = seen(reader_for(coach).get(PAGE))
    assert "Nothing in 7 days from Ines." in said
    assert said.count("harder than others with best 2") == 1
    assert re.search(r"0 of 12 likely 0 to \d+ in 100 24 harder", said)


@pytest.mark.usefixtures("ines_lacks_it")
class TestCsv:
    def test_it_holds_all_of_it_a_line_a_fact(self, coach: Membership, clock: Clock) -> None:
        clock(MONDAY)
        response = reader_for(coach).client.get(f"{CSV}?weeks=8")
        assert response["Content-Type"].startswith("text/csv; charset=utf-8")
        assert re.fullmatch(
            r'attachment; filename="review-lantern-street-2026-\d\d-\d\d.csv"',
            response["Content-Disposition"],
        )
        assert response["Cache-Control"] == "private, no-store"
        text = response.content.decode("utf-8")
        assert text.startswith(BOM)
        lines = lines_of(text)
        parts = [line["part"] for line in lines]
        assert parts.count("idea") == 5
        assert parts.count("member") == 6
        assert parts.count("member and idea") == 30
        assert parts.count("scramble") == 20
        assert parts.count("week") == 8
        (ines,) = (
            line
            for line in lines
            if (line["part"], line["member"], line["idea"])
            == ("member and idea", "Ines", "base_turn")
        )
        assert (ines["count"], ines["of"], ines["moves_lost"]) == ("0", "20", "60.0")
        assert ines["said"] == "likely needs work"
        assert ines["low"] == "0.0"
        said = {line["said"] for line in lines if line["part"] == "week"}
        assert said == {"mean per solved plan"}

    def test_no_rate_below_five(
        self, given: Given, club: Club, coach: Membership, clock: Clock
    ) -> None:
        clock(MONDAY)
        few = make_membership(club, "Aud")
        opens = NOON - timedelta(days=2, hours=13)
        a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1))
        past(given, few, a_set, BASE_TURN[2])
        (line,) = (
            line
            for line in lines_of(reader_for(coach).get(CSV))
            if (line["member"], line["idea"]) == ("Aud", "base_turn")
        )
        assert (line["of"], line["low"], line["high"]) == ("1", "", "")
        assert line["said"] == "not enough evidence yet"

    def test_a_name_that_a_spreadsheet_would_run_is_kept_from_it(
        self, club: Club, coach: Membership
    ) -> None:
        make_membership(club, " =cmd|' /C calc'!A0")
        names = {line["member"] for line in lines_of(reader_for(coach).get(CSV))}
        assert "' =cmd|' /C calc'!A0" in names

    def test_the_filters_hold_for_it_too(self, coach: Membership) -> None:
        lines = lines_of(reader_for(coach).get(f"{CSV}?weeks=8&drawn=picked"))
        parts = [line["part"] for line in lines]
        assert parts.count("week") == 8
        assert "scramble" not in parts
        page = reader_for(coach).get(f"{PAGE}?weeks=8&drawn=picked")
        assert f'href="{CSV}?weeks=8&amp;group=&amp;drawn=picked"' in page


def test_it_is_for_the_coaches_of_the_club(member: Membership, outsider: Membership) -> None:
    for address in (PAGE, CSV):
        said = seen(reader_for(member).get(address, status=403))
        assert "Only a coach of the club may open this page." in said
        reader_for(outsider).get(address, status=404)


@pytest.mark.parametrize("address", [PAGE, CSV])
def test_the_number_of_queries_does_not_grow(
    address: str, given: Given, club: Club, coach: Membership
) -> None:
    reader = reader_for(coach)

    def queries(reader: Reader) -> int:
        reader.get(address)
        with CaptureQueriesContext(connection) as captured:
            reader.get(address)
        return len(captured)

    weeks_of_plans(given, make_membership(club, "M0"), 3, answered=False)
    few = queries(reader)
    for n in (1, 2, 3):
        weeks_of_plans(given, make_membership(club, f"M{n}"), 3, answered=n == 1)
    assert queries(reader) == few


class TestCoachsDay:
    def test_what_the_weeks_moves_were_lost_to(
        self, given: Given, coach: Membership, member: Membership, second: Membership
    ) -> None:
        today = given.a_set()
        given.a_plan(member, today, 1, BASE_TURN[2])
        given.a_plan(second, today, 1, "U U' D' R'")
        page = reader_for(coach).get(f"{ROOT}/coach/")
        said = seen(page)
        assert "base turn 3 not enough evidence yet" in said
        assert "undone moves 2 comes first for nobody" in said
        assert f'href="{ROOT}/coach/lessons/base_turn/"' in page
        assert f'href="{PAGE}"' in page
        assert "Make a lesson on" not in said

    @pytest.mark.usefixtures("ines_lacks_it")
    def test_who_likely_needs_it_and_the_way_to_the_lesson(self, coach: Membership) -> None:
        said = seen(reader_for(coach).get(f"{ROOT}/coach/"))
        assert "base turn 15 Ines" in said
        assert "Make a lesson on base turn" in said

    @pytest.mark.usefixtures("ines_lacks_it")
    def test_the_page_that_asks_again_does_not_reckon_the_review_each_time(
        self, coach: Membership
    ) -> None:
        reader = reader_for(coach)
        page = reader.get(f"{ROOT}/coach/")
        assert f'hx-get="{ROOT}/coach/?part=live"' in page
        again = reader.get(f"{ROOT}/coach/?part=live")
        assert 'id="live"' in again
        assert 'id="losses-live"' in again
        assert "What the week has cost so far" not in seen(again)
