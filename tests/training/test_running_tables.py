"""While a set is open nobody leads by having planned less.

The rule is product's own: common practice has no source for it.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from training.rules import Sight
from training.selectors import tables

pytestmark = pytest.mark.django_db

BEST = ("D' R'", "R' D'", "F' R'", "R' F'", "B' R'")


def told(table: tables.Table) -> tuple[list[tuple[int, str]], list[str]]:
    """Who is ranked, and who is not yet."""
    return [(one.rank, one.member) for one in table.rows], [one.member for one in table.under_way]


@pytest.fixture
def running(given, club):
    """An open set with an open table: Ada all in with 5 over, Bo three, Cleo one, Dag none."""
    a_set = given.a_set(table_to=Sight.OPEN, answers_to=Sight.OPEN)
    people = {name: make_membership(club, name) for name in ("Ada", "Bo", "Cleo", "Dag")}
    for number, best in enumerate(BEST, start=1):
        given.a_plan(people["Ada"], a_set, number, f"U U' {best}" if number > 2 else best)
        if number <= 3:
            given.a_plan(people["Bo"], a_set, number, best)
    given.a_plan(people["Cleo"], a_set, 1, BEST[0])
    return a_set, people


def test_a_coach_sees_ranks_of_those_alone_whose_plans_are_all_in(coach, running) -> None:
    a_set, _ = running
    table = tables.set_table(coach, a_set.pk, NOON)
    assert told(table) == ([(1, "Ada")], ["Bo", "Cleo"])
    assert table.to_come == ("Dag",)


@pytest.mark.parametrize(
    ("who", "ranked", "others"),
    [
        ("Ada", [(1, "Ada")], ["Bo", "Cleo"]),
        ("Bo", [(1, "Bo")], ["Ada", "Cleo"]),
        ("Cleo", [(1, "Cleo")], ["Ada", "Bo"]),
        ("Dag", [(1, "Ada")], ["Bo", "Cleo"]),
    ],
)
def test_a_member_is_ranked_among_those_who_have_as_many_in(running, who, ranked, others) -> None:
    a_set, people = running
    assert told(tables.set_table(people[who], a_set.pk, NOON)) == (ranked, others)


def test_a_plan_that_is_being_checked_is_in(given, coach, running) -> None:
    a_set, people = running
    given.a_plan(people["Cleo"], a_set, 2, BEST[1], checked=False)
    given.a_plan(people["Cleo"], a_set, 3, BEST[2], checked=False)
    assert told(tables.set_table(people["Bo"], a_set.pk, NOON))[0] == [(1, "Bo"), (2, "Cleo")]


def test_once_it_has_closed_everybody_is_ranked(coach, running) -> None:
    a_set, _ = running
    table = tables.set_table(coach, a_set.pk, a_set.closes_at)
    assert told(table) == ([(1, "Ada"), (2, "Bo"), (3, "Cleo"), (4, "Dag")], [])


def test_in_a_week_whoever_planned_today_does_not_fall_behind_who_did_not(
    given, club, coach
) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    one, other = (
        given.a_set(
            opens=opens + timedelta(days=n), closes=opens + timedelta(days=n + 1),
            scrambles=("R D",), table_to=Sight.OPEN, answers_to=Sight.OPEN,
        )
        for n in range(2)
    )  # fmt: skip
    ada, bo = make_membership(club, "Ada"), make_membership(club, "Bo")
    for who in (ada, bo):
        given.a_plan(who, one, 1, BEST[0], at=opens)
    given.a_plan(ada, other, 1, "U U' D' R'")
    week = tables.week_table(coach, NOON.date(), NOON)
    assert told(week) == ([(1, "Ada")], ["Bo"])
    assert told(tables.week_table(bo, NOON.date(), NOON)) == ([(1, "Bo")], ["Ada"])
    closed = tables.week_table(coach, NOON.date(), other.closes_at)
    assert told(closed) == ([(1, "Ada"), (2, "Bo")], [])


def test_a_cross_that_counts_for_nobody_is_waited_for_by_nobody(coach, running) -> None:
    from training.services.corrections import void_scramble

    a_set, people = running
    for number in (4, 5):
        void_scramble(
            scramble=a_set.scrambles.get(number=number), by=coach, reason="misprinted", now=NOON
        )
    table = tables.set_table(coach, a_set.pk, NOON)
    assert told(table) == ([(1, "Bo"), (2, "Ada")], ["Cleo"])
    assert told(tables.set_table(people["Dag"], a_set.pk, NOON)) == told(table)
