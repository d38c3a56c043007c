"""Earlier days on the pages: the list, the way from day to day, one plan after the other."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

from tests.conftest import NOON, Given, make_membership
from tests.web.conftest import ROOT, reader_for, words
from training.models import Club, Drawn, Kind, Membership, Role, ScrambleSet
from training.web.query import day_asked, month_asked

DAY = timedelta(days=1)


def links(page: str, rel: str = "") -> list[str]:
    rel = f'rel="{rel}"[^>]*' if rel else ""
    return re.findall(rf'<a\s[^>]*{rel}href="([^"]+)"', page)


def yesterday(given: Given, **fields: Any) -> ScrambleSet:
    return given.a_set(opens=NOON - DAY, closes=NOON - timedelta(hours=1), **fields)


class TestTheList:
    def test_leads_a_coach_to_plans_and_table(
        self, coach: Membership, member: Membership, given: Given
    ) -> None:
        old = yesterday(given)
        given.a_plan(member, old, 1, None, at=NOON - timedelta(hours=2), checked=False)
        page = reader_for(coach).get(f"{ROOT}/earlier/")
        assert "1 plan by 1 member" in words(page)
        found = links(page)
        for address in (
            f"{ROOT}/sets/{old.pk}/",
            f"{ROOT}/coach/sets/{old.pk}/",
            f"{ROOT}/table/day/2026-11-25/",
        ):
            assert address in found

    def test_leads_a_member_to_what_is_open(self, member: Membership, given: Given) -> None:
        old, today = yesterday(given), given.a_set(kind="club_night")
        page = reader_for(member).get(f"{ROOT}/earlier/")
        assert "0 of 5 planned by you" in words(page)
        assert f"{ROOT}/coach/sets/{old.pk}/" not in links(page)
        assert f"{ROOT}/table/day/2026-11-25/" in links(page)
        assert f"{ROOT}/sets/{today.pk}/table/" not in links(page)

    def test_is_taken_a_month_and_a_kind_at_a_time(self, member: Membership, given: Given) -> None:
        yesterday(given)
        old = given.a_set(opens=NOON - 40 * DAY, closes=NOON - 39 * DAY)
        page = reader_for(member).get(f"{ROOT}/earlier/")
        assert f"{ROOT}/earlier/?month=2026-10" in links(page)
        page = reader_for(member).get(f"{ROOT}/earlier/?month=2026-10")
        assert f"{ROOT}/sets/{old.pk}/" in links(page)
        assert "Later: November" in words(page)
        said = words(reader_for(member).get(f"{ROOT}/earlier/?month=2026-10&kind=homework"))
        assert "No such set closed in October." in said

    def test_takes_any_query(self, member: Membership, given: Given) -> None:
        yesterday(given)
        for asked in ("month=2026-13", "month=9999-12", "month=%00", "kind=practice", "month=-1"):
            assert "Earlier days: November" in words(
                reader_for(member).get(f"{ROOT}/earlier/?{asked}")
            )


def test_dates_of_a_query_are_read_or_left(rf: Any) -> None:
    for text in ("", "2026-11", "2026-11-31", "0001-01-01", "9999-12-31", "20261125", "²026-11-25"):
        assert day_asked(rf.get("/", {"day": text}), "day") is None, text
    assert str(day_asked(rf.get("/", {"day": "2026-11-25"}), "day")) == "2026-11-25"
    assert str(month_asked(rf.get("/", {"month": "2026-11"}), "month")) == "2026-11-01"


class TestACoachReadsADay:
    def test_one_plan_after_the_other(
        self, coach: Membership, member: Membership, second: Membership, given: Given
    ) -> None:
        """A day of n plans takes n + 2 pages; over the list of the day it took 2 n."""
        old = yesterday(given)
        given.a_set()
        at = NOON - timedelta(hours=2)
        plans = {
            given.a_plan(who, old, number, None, at=at, checked=False).pk
            for who in (member, second)
            for number in (1, 3, 4)
        }
        reader = reader_for(coach)
        address = f"{ROOT}/coach/sets/{old.pk}/"
        assert address in links(reader.get(f"{ROOT}/coach/")), "the day before, from today's"
        page = reader.get(address)
        first = re.search(r'href="([^"]+)">\s*Read them one after the other', page)
        assert first
        pages, following, read = 2, [first[1]], []
        while following:
            page = reader.get(following[0])
            read.append(int(following[0].rstrip("/").rpartition("/")[2]))
            following = links(page, "next")
            pages += 1
        assert set(read) == plans
        assert len(read) == len(plans)
        assert pages == len(plans) + 2
        assert "Plan 6 of 6" in words(page)
        assert links(page, "prev") == [f"{ROOT}/coach/plans/{read[-2]}/"]

    def test_goes_from_set_to_set(self, coach: Membership, given: Given) -> None:
        old, today = yesterday(given), given.a_set()
        page = reader_for(coach).get(f"{ROOT}/coach/sets/{old.pk}/")
        assert "The one after: Wednesday’s set, Wednesday 25 November" in words(page)
        assert f"{ROOT}/coach/sets/{today.pk}/" in links(page)

    def test_by_member_and_date(self, coach: Membership, member: Membership, given: Given) -> None:
        old, today = yesterday(given), given.a_set()
        plan = given.a_plan(member, old, 2, "D' R'", at=NOON - timedelta(hours=2))
        of_today = given.a_plan(member, today, 1, "D' R'")
        month_ago = NOON - 30 * DAY
        in_october = given.a_set(opens=month_ago - DAY, closes=month_ago)
        Membership.objects.filter(pk=member.pk).update(joined_at=NOON - 90 * DAY)
        earlier = given.a_plan(member, in_october, 2, "D' R'", at=month_ago - timedelta(hours=2))
        address = f"{ROOT}/coach/members/{member.pk}/plans/"
        reader = reader_for(coach)
        assert address in links(reader.get(f"{ROOT}/coach/members/{member.pk}/"))
        page = reader.get(address)
        for one in (plan, of_today):
            assert f"{ROOT}/coach/plans/{one.pk}/" in links(page)
        page = reader.get(f"{address}?month=2026-10")
        assert f"{ROOT}/coach/plans/{of_today.pk}/" not in links(page)
        assert f"{ROOT}/coach/plans/{earlier.pk}/" in links(page)


class TestTables:
    def test_cells_lead_to_the_plans_that_are_open(
        self, club: Club, coach: Membership, member: Membership, second: Membership, given: Given
    ) -> None:
        old = yesterday(given)
        at = NOON - timedelta(hours=2)
        mine, other = (given.a_plan(who, old, 1, "D' R'", at=at) for who in (member, second))
        address = f"{ROOT}/table/day/2026-11-25/"
        found = links(reader_for(coach).get(address))
        assert f"{ROOT}/coach/plans/{mine.pk}/" in found
        assert f"{ROOT}/coach/plans/{other.pk}/" in found
        found = links(reader_for(member).get(address))
        assert f"{ROOT}/sets/{old.pk}/1/" in found
        assert not any("/coach/" in one for one in found)
        week = f"{ROOT}/table/week/2026-11-25/"
        assert f"{ROOT}/coach/sets/{old.pk}/" in links(reader_for(coach).get(week))
        assert f"{ROOT}/sets/{old.pk}/" in links(reader_for(member).get(week))

    def test_no_cell_of_others_opens_in_sealed_mode(
        self, club: Club, member: Membership, given: Given
    ) -> None:
        rival = make_membership(club, "Runa", Role.COACH, competes=True)
        given.a_plan(member, given.a_set(answers_to="open", table_to="open"), 1, "D' R'")
        page = reader_for(rival).get(f"{ROOT}/table/day/2026-11-25/")
        assert "Ines" in words(page)
        assert not any("/coach/plans/" in one for one in links(page))

    def test_what_one_member_has_alone_leads_to_no_table_of_one(
        self, member: Membership, given: Given
    ) -> None:
        own = yesterday(given, kind=Kind.HOMEWORK, drawn=Drawn.PICKED, for_member=member)
        page = reader_for(member).get(f"{ROOT}/sets/{own.pk}/")
        assert "it counts in no table and no review" in words(page)
        assert f"{ROOT}/sets/{own.pk}/table/" not in links(page)

    def test_of_what_has_closed_nothing_is_said_to_wait(
        self, member: Membership, given: Given
    ) -> None:
        said = words(reader_for(member).get(f"{ROOT}/sets/{yesterday(given).pk}/"))
        assert "what each move did are open. The table is open." in said
        assert "Once your own plan" not in said

    def test_homework_has_a_table_of_its_own(
        self, coach: Membership, member: Membership, given: Given
    ) -> None:
        homework = yesterday(given, kind=Kind.HOMEWORK, drawn=Drawn.PICKED)
        given.a_plan(member, homework, 1, "D' R'", at=NOON - timedelta(hours=2))
        address = f"{ROOT}/sets/{homework.pk}/table/"
        reader = reader_for(member)
        assert address in links(reader.get(f"{ROOT}/sets/{homework.pk}/"))
        said = words(reader.get(address))
        assert "Table: Homework from Tuesday" in said
        assert re.search(r"1 Ines you 32 1 of 5 1 ", said)
        # No random set: the day's table does not know it.
        assert "There is no set in this time." in words(reader.get(f"{ROOT}/table/day/2026-11-25/"))
