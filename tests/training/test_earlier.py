"""Earlier days: which sets are listed, what is told of each, which plans a table leads to.

Common practice, no source.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from tests.conftest import NOON, Given, make_membership
from training.models import Club, Drawn, Group, GroupOfSet, Membership, Role
from training.selectors.earlier import (
    earlier_sets,
    groups_of,
    reading_of,
    reading_order,
    sets_around,
    sets_of_member,
)
from training.selectors.own_months import month_of_sets
from training.selectors.plans import set_for
from training.selectors.table_rows import Cell
from training.selectors.tables import set_table
from training.services.erasing import erase_membership
from training.visibility import Sealed

DAY = timedelta(days=1)


def days_back(given: Given, days: int, **fields: Any) -> Any:
    opens = NOON - timedelta(hours=13) - days * DAY
    return given.a_set(opens=opens, closes=opens + DAY, **fields)


class TestTheList:
    def test_is_by_the_month_of_closing_newest_first(
        self, member: Membership, given: Given
    ) -> None:
        today, old = given.a_set(), days_back(given, 3)
        october = days_back(given, 40)
        # Opened on the last evening of October, closed in November.
        over = given.a_set(
            opens=NOON - 25 * DAY, closes=NOON - 24 * DAY, kind="club_night", day=date(2026, 10, 31)
        )
        found = earlier_sets(member, NOON)
        assert [one.head.id for one in found.sets] == [today.pk, old.pk, over.pk]
        assert (found.month, found.before, found.after) == (
            date(2026, 11, 1),
            date(2026, 10, 1),
            None,
        )
        before = earlier_sets(member, NOON, month=date(2026, 10, 1))
        assert [one.head.id for one in before.sets] == [october.pk]
        assert (before.before, before.after) == (None, date(2026, 11, 1))
        nights = earlier_sets(member, NOON, kind="club_night")
        assert [one.head.id for one in nights.sets] == [over.pk]

    def test_holds_nothing_that_is_not_there_for_the_viewer(
        self, member: Membership, coach: Membership, other_club: Club, given: Given
    ) -> None:
        days_back(given, -1)
        given.a_set(club=other_club)
        given.a_set(kind="practice", drawn=Drawn.PICKED, for_member=member)
        for viewer in (member, coach):
            assert earlier_sets(viewer, NOON).sets == ()

    def test_tells_coaches_alone_who_handed_in(
        self, member: Membership, second: Membership, coach: Membership, given: Given
    ) -> None:
        old = days_back(given, 1)
        for number in (1, 2):
            given.a_plan(member, old, number, None, at=NOON - DAY, checked=False)
        given.a_plan(second, old, 1, None, at=NOON - DAY, checked=False)
        (told,) = earlier_sets(coach, NOON).sets
        assert (told.plans, told.members, told.own, told.scrambles) == (3, 2, 0, 5)
        (told,) = earlier_sets(member, NOON).sets
        assert (told.plans, told.members, told.own, told.scrambles) == (None, None, 2, 5)

    def test_can_be_of_one_group(self, club: Club, coach: Membership, given: Given) -> None:
        group = Group.objects.create(club=club, name="Lanterns")
        days_back(given, 1)
        theirs = days_back(given, 2)
        GroupOfSet.objects.create(scramble_set=theirs, group=group)
        assert groups_of(coach) == [(group.pk, "Lanterns")]
        found = earlier_sets(coach, NOON, group=group.pk).sets
        assert [one.head.id for one in found] == [theirs.pk]

    def test_asks_as_often_for_years_as_for_a_day(
        self, coach: Membership, given: Given, django_assert_num_queries: Any
    ) -> None:
        days_back(given, 1)
        with django_assert_num_queries(11):
            earlier_sets(coach, NOON)
        for days in range(2, 500, 9):
            days_back(given, days)
        with django_assert_num_queries(11):
            assert len(earlier_sets(coach, NOON).sets) == 4


def test_the_sets_around_one_are_of_any_kind(member: Membership, given: Given) -> None:
    first, homework, third = (
        days_back(given, 2),
        days_back(given, 1, kind="homework", drawn=Drawn.PICKED),
        given.a_set(),
    )
    days_back(given, -1)
    for one, around in (
        (first, (None, homework.pk)),
        (homework, (first.pk, third.pk)),
        (third, (homework.pk, None)),
    ):
        head = set_for(member, one.pk, NOON).head
        found = sets_around(member, head, NOON)
        assert tuple(each and each.id for each in found) == around


def opened(viewer: Membership, set_id: int) -> dict[str, list[int | None]]:
    """Which plans the cells of a table lead to, by member."""

    def plans(cells: tuple[Cell, ...]) -> list[int | None]:
        return [cell.plan_id for cell in cells if cell.state != "missing"]

    table = set_table(viewer, set_id, NOON)
    return {row.member: plans(row.cells) for row in (*table.rows, *table.outside)}


class TestCells:
    @pytest.fixture
    def old(self, member: Membership, second: Membership, given: Given) -> Any:
        made = days_back(given, 1)
        given.a_plan(member, made, 1, "D' R'", at=NOON - DAY)
        given.a_plan(second, made, 1, None, at=NOON - DAY)
        return made

    def test_lead_a_member_to_the_own_plans_alone(
        self, member: Membership, second: Membership, old: Any
    ) -> None:
        assert opened(member, old.pk) == {"Ines": [member.plans.get().pk], "Bashir": [None]}

    def test_lead_a_coach_to_all(
        self, member: Membership, second: Membership, coach: Membership, old: Any
    ) -> None:
        assert opened(coach, old.pk) == {
            "Ines": [member.plans.get().pk],
            "Bashir": [second.plans.get().pk],
        }

    def test_lead_a_coach_who_competes_nowhere_before_the_own_are_in(
        self, club: Club, member: Membership, given: Given
    ) -> None:
        rival = make_membership(club, "Runa", Role.COACH, competes=True)
        today = given.a_set(scrambles=("R D",), answers_to="open", table_to="open")
        plan = given.a_plan(member, today, 1, "D' R'")
        assert opened(rival, today.pk) == {"Ines": [None]}
        own = given.a_plan(rival, today, 1, None)
        assert opened(rival, today.pk) == {"Ines": [plan.pk], "Runa": [own.pk]}

    def test_lead_nowhere_for_who_was_erased(
        self, second: Membership, owner: Membership, member: Membership, old: Any
    ) -> None:
        erase_membership(membership=second, by=owner, typed="Bashir")
        plans = opened(owner, old.pk)
        assert plans.pop("Ines") == [member.plans.get().pk]
        assert list(plans.values()) == [[None]]


class TestReading:
    def test_goes_by_scramble_then_by_name(
        self, member: Membership, second: Membership, coach: Membership, given: Given
    ) -> None:
        today = given.a_set()
        ines_2 = given.a_plan(member, today, 2, None, checked=False)
        ines_1 = given.a_plan(member, today, 1, None, checked=False)
        bashir_2 = given.a_plan(second, today, 2, None, checked=False)
        assert reading_order(today.pk) == [ines_1.pk, bashir_2.pk, ines_2.pk]
        found = reading_of(today.pk, bashir_2.pk)
        assert (found.position, found.plans) == (2, 3)
        assert (found.before, found.after) == (ines_1.pk, ines_2.pk)

    def test_knows_no_plan_of_another_set(self, member: Membership, given: Given) -> None:
        old, today = days_back(given, 1), given.a_set()
        plan = given.a_plan(member, today, 1, None, checked=False)
        with pytest.raises(Sealed):
            reading_of(old.pk, plan.pk)


class TestAMembersPlans:
    def test_are_for_coaches_and_oneself(
        self, member: Membership, second: Membership, coach: Membership, given: Given
    ) -> None:
        old = days_back(given, 1)
        plan = given.a_plan(member, old, 2, "D' R'", at=NOON - DAY)
        month = month_of_sets(member, NOON)
        (found,) = sets_of_member(coach, member, NOON, month)
        assert (len(found.counting), found.sealed) == (5, False)
        assert [one.id for one in found.plans] == [plan.pk]
        with pytest.raises(Sealed):
            sets_of_member(second, member, NOON, month)

    def test_stay_sealed_for_a_coach_who_competes(
        self, club: Club, member: Membership, given: Given
    ) -> None:
        rival = make_membership(club, "Runa", Role.COACH, competes=True)
        given.a_plan(member, given.a_set(), 1, "D' R'")
        (found,) = sets_of_member(rival, member, NOON, month_of_sets(member, NOON))
        assert (found.sealed, found.plans) == (True, ())
