"""Today, my plans, the tables, people, settings."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.conftest import NOON, Given, make_membership
from tests.web.conftest import ROOT, reader_for, words
from training.models import (
    Club,
    CountingPeriod,
    Drawn,
    Kind,
    Membership,
    Role,
)

DAY = timedelta(days=1)


class TestToday:
    def test_cards_tell_what_is_left_and_which_is_next(
        self, member: Membership, given: Given
    ) -> None:
        today = given.a_set()
        given.a_plan(member, today, 1, "D' R'")
        given.a_plan(member, today, 2, "R' D'", checked=False)
        said = words(reader_for(member).get(f"{ROOT}/today/"))
        assert "3 crosses to plan." in said
        assert "Plan scramble 3" in said
        assert "checked: exactly the best" in said
        assert "being checked" in said
        assert "yellow cross · closes tonight at midnight" in said

    def test_a_day_without_a_set_shows_the_last(self, member: Membership, given: Given) -> None:
        given.a_set(opens=NOON - 2 * DAY, closes=NOON - DAY)
        said = words(reader_for(member).get(f"{ROOT}/today/"))
        assert "No set is open now" in said
        assert "closed yesterday at 13:00" in said

    def test_a_new_club_says_what_will_come(self, member: Membership) -> None:
        said = words(reader_for(member).get(f"{ROOT}/today/"))
        assert "This club has had no set yet." in said

    def test_all_in_opens_the_table(self, member: Membership, given: Given) -> None:
        today = given.a_set(scrambles=("R D",))
        assert "See the table" not in words(reader_for(member).get(f"{ROOT}/today/"))
        given.a_plan(member, today, 1, "D' R'")
        page = reader_for(member).get(f"{ROOT}/today/")
        assert "All your plans are in." in words(page)
        assert f"{ROOT}/table/day/2026-11-25/" in page


def test_a_coach_comes_from_a_set_to_everybodys_plans(
    member: Membership, coach: Membership, given: Given
) -> None:
    today = given.a_set()
    own = given.a_set(kind=Kind.PRACTICE, drawn=Drawn.PICKED, for_member=coach)
    all_plans = f"{ROOT}/coach/sets/{today.pk}/"
    assert all_plans in reader_for(coach).get(f"{ROOT}/sets/{today.pk}/")
    reader_for(coach).get(all_plans)
    assert all_plans not in reader_for(member).get(f"{ROOT}/sets/{today.pk}/")
    # Nobody else has plans in it.
    assert "Everybody’s plans" not in words(reader_for(coach).get(f"{ROOT}/sets/{own.pk}/"))


class TestTables:
    @pytest.fixture(autouse=True)
    def _tuesday(self, given: Given, member: Membership, second: Membership) -> None:
        tuesday = given.a_set(
            opens=NOON - timedelta(hours=37),
            closes=NOON - timedelta(hours=13),
            scrambles=("R D", "D R"),
        )
        before = NOON - timedelta(hours=20)
        given.a_plan(second, tuesday, 1, "D' R'", at=before)
        given.a_plan(second, tuesday, 2, "R' L L' D'", at=before)
        given.a_plan(member, tuesday, 1, "F", at=before)

    def test_the_day_has_rank_total_cells_and_its_rule(self, member: Membership) -> None:
        page = reader_for(member).get(f"{ROOT}/table/day/2026-11-24/")
        said = words(page)
        assert re.search(r"1 Bashir 2 2 of 2 1 .*best .*\+2", said)
        assert re.search(r"2 Ines you 16 0 of 2 0 not solved · 8 none · 8", said)
        assert "equal results share a rank" in said
        assert "closed at midnight" in said
        assert '<tr class="own">' in page

    def test_the_week_and_all_time(self, member: Membership) -> None:
        said = words(reader_for(member).get(f"{ROOT}/table/week/2026-11-25/"))
        assert "Monday 23 November to Sunday 29 November" in said
        assert "A week runs Monday to Sunday" in said
        said = words(reader_for(member).get(f"{ROOT}/table/all/"))
        assert "All-time table" in said
        assert "All random sets that have closed · 2 of 2 handed in at least once" in said
        assert "mean over" in said
        assert "2.0" in said

    def test_a_day_of_which_nothing_counts_yet_is_no_perfect_day(
        self, coach: Membership, member: Membership, second: Membership, given: Given
    ) -> None:
        today = given.a_set(scrambles=("R D",))
        given.a_plan(second, today, 1, "D' R'")
        said = words(reader_for(coach).get(f"{ROOT}/table/week/2026-11-25/"))
        assert re.search(r"Bashir 2 3 of 3 2 2 0 ", said)
        assert re.search(r"Ines 16 0 of 2 0 16 to come", said)

    def test_the_newest_open_table_is_the_table(self, member: Membership, given: Given) -> None:
        given.a_set()
        assert reader_for(member).client.get(f"{ROOT}/table/").url.endswith("/day/2026-11-24/")

    def test_a_table_that_is_not_open_says_when_and_shows_no_line(
        self, member: Membership, second: Membership, given: Given
    ) -> None:
        today = given.a_set()
        given.a_plan(second, today, 1, "D' R'")
        said = words(reader_for(member).get(f"{ROOT}/table/day/2026-11-25/"))
        assert "Not counted here yet: Wednesday 25 November" in said
        assert "Bashir" not in said

    @pytest.mark.parametrize(
        ("table_to", "said_of_it"),
        [
            ("own_plan", "once all your plans of it are in, or when it closes"),
            ("closing", "A set’s table opens when the set has closed"),
            ("coaches", "The table is for the coaches"),
        ],
    )
    def test_when_it_opens_is_what_the_set_says(
        self, member: Membership, given: Given, table_to: str, said_of_it: str
    ) -> None:
        today = given.a_set(table_to=table_to, scrambles=("R D",))
        if table_to != "own_plan":
            # All own plans are in, and still it is not open.
            given.a_plan(member, today, 1, "D' R'")
        said = words(reader_for(member).get(f"{ROOT}/table/day/2026-11-25/"))
        assert "Not counted here yet: Wednesday 25 November" in said
        assert said_of_it in said

    def test_a_coach_who_competes_is_told_how_to_get_there(self, club: Club, given: Given) -> None:
        rival = make_membership(club, "Runa", Role.COACH, competes=True)
        today = given.a_set(answers_to="coaches", table_to="coaches", scrambles=("R D",))
        reader = reader_for(rival)
        said = words(reader.get(f"{ROOT}/table/day/2026-11-25/"))
        assert "once all your plans of it are in, or when it closes" in said
        given.a_plan(rival, today, 1, "D' R'")
        assert "Runa you" in words(reader.get(f"{ROOT}/table/day/2026-11-25/"))

    def test_an_empty_table_says_why(self, club: Club, coach: Membership, given: Given) -> None:
        reader = reader_for(coach)
        said = words(reader.get(f"{ROOT}/table/day/2026-11-20/"))
        assert "There is no set in this time." in said
        # A set of which nothing has come in is a set all the same.
        given.a_set()
        said = words(reader.get(f"{ROOT}/table/day/2026-11-25/"))
        assert "There is no set" not in said
        assert "Still to come: Bashir and Ines." in said
        CountingPeriod.objects.all().delete()
        said = words(reader.get(f"{ROOT}/table/day/2026-11-25/"))
        assert "Nobody competes here yet." in said

    @pytest.mark.parametrize("day", ["2026-02-30", "2026-13-01", "0000-00-00"])
    def test_a_date_that_does_not_exist_is_not_there(self, member: Membership, day: str) -> None:
        for kind in ("day", "week"):
            reader_for(member).get(f"{ROOT}/table/{kind}/{day}/", status=404)

    @pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
    def test_the_ends_of_the_calendar_do_not_break_a_page(
        self, member: Membership, day: str
    ) -> None:
        for kind in ("day", "week"):
            reader_for(member).get(f"{ROOT}/table/{kind}/{day}/", status=404)


class TestSealed:
    def addresses(self, scramble_set: int) -> list[str]:
        return [
            f"{ROOT}/sets/{scramble_set}/",
            f"{ROOT}/sets/{scramble_set}/1/",
            f"{ROOT}/coach/sets/{scramble_set}/",
        ]

    def test_a_set_a_second_before_it_opens_looks_like_one_that_is_not_there(
        self,
        member: Membership,
        coach: Membership,
        given: Given,
        clock: Callable[[datetime], None],
    ) -> None:
        tomorrow = given.a_set(opens=NOON + DAY, closes=NOON + 2 * DAY)
        clock(NOON + DAY - timedelta(seconds=1))
        absent = self.addresses(tomorrow.pk + 1000)
        for who in (member, coach):
            reader = reader_for(who)
            for sealed, nothing in zip(self.addresses(tomorrow.pk), absent, strict=True):
                if who is member and "/coach/" in sealed:
                    continue
                assert reader.get(sealed, status=404) == reader.get(nothing, status=404)
        clock(NOON + DAY)
        reader_for(member).get(self.addresses(tomorrow.pk)[1])

    def test_posting_to_a_sealed_scramble_is_the_same_as_to_none(
        self, member: Membership, given: Given
    ) -> None:
        tomorrow = given.a_set(opens=NOON + DAY, closes=NOON + 2 * DAY)
        for doing in ("read_back", "hand_in"):
            reader_for(member).enter(tomorrow, 1, status=404, plan="R", do=doing)

    def test_another_clubs_pages_are_not_there(self, outsider: Membership, given: Given) -> None:
        today = given.a_set()
        reader = reader_for(outsider)
        for address in [*self.addresses(today.pk), f"{ROOT}/today/", f"{ROOT}/table/all/"]:
            reader.get(address, status=404)

    def test_pages_of_a_signed_in_person_are_kept_by_no_cache(
        self, member: Membership, given: Given
    ) -> None:
        given.a_set()
        response = reader_for(member).client.get(f"{ROOT}/today/")
        assert response["Cache-Control"] == "private, no-store"


@pytest.mark.parametrize(
    "page", ["today", "table/day/2026-11-25", "table/all", "plans", "coach", "people"]
)
def test_the_number_of_queries_does_not_grow_with_members_and_sets(
    page: str, club: Club, coach: Membership, given: Given
) -> None:
    def queries() -> int:
        reader = reader_for(coach)
        reader.get(f"{ROOT}/{page}/")
        with CaptureQueriesContext(
            connection,
        ) as captured:
            reader.get(f"{ROOT}/{page}/")
        return len(captured)

    def one_more(name: str, day: int) -> None:
        who = make_membership(club, name)
        opens = NOON - timedelta(hours=13) - day * DAY
        made = given.a_set(opens=opens, closes=opens + DAY, scrambles=("R D", "D R"))
        for number in (1, 2):
            given.a_plan(who, made, number, "D' R'", at=opens + timedelta(hours=2))

    one_more("Aud", 0)
    one_more("Bea", 4)
    few = queries()
    for n, name in enumerate(("Bo", "Cy", "Dag"), start=1):
        one_more(name, n)
    assert queries() == few


def test_the_all_time_table_of_a_club_just_made_says_that_no_set_has_closed(
    coach: Membership,
) -> None:
    assert "No set has closed yet." in words(reader_for(coach).get(f"{ROOT}/table/all/"))
