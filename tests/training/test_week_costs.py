"""What a week cost a club, against the tables and against sums made plan by plan."""

from __future__ import annotations

import random
from datetime import timedelta
from fractions import Fraction

import pytest

from solverworker import solve
from tests.conftest import EASY, NOON, make_membership
from training.models import Membership
from training.selectors import tables
from training.selectors.quiet import quiet_members
from training.selectors.week_costs import week_cost
from training.services.corrections import take_set_out, void_scramble, withdraw_plan

pytestmark = pytest.mark.django_db

BEST = ("D' R'", "R' D'", "F' R'", "R' F'", "B' R'")
DAY = timedelta(days=1)
MONDAY = NOON - timedelta(days=2, hours=13)
"""Its midnight in Oslo."""


@pytest.mark.parametrize("seed", range(5))
def test_it_is_what_the_tables_charge(given, club, coach, seed) -> None:
    """The week's table is the outside source: it is made from plans, this from kept sums."""
    source = random.Random(seed)
    people = [make_membership(club, name) for name in ("Ada", "Bo", "Cleo")]
    sets = [given.a_set(MONDAY + n * DAY, MONDAY + (n + 1) * DAY) for n in range(3)]
    written = []
    for who in people:
        for one in sets:
            for number, best in enumerate(BEST, start=1):
                if source.random() < 0.7:
                    moves = source.choice([best, best, "U U' " + best, "U", None])
                    plan = given.a_plan(who, one, number, moves, at=one.opens_at)
                    written.append(plan)
    withdraw_plan(plan=written[0], by=coach, reason="x", now=NOON)
    void_scramble(scramble=given.scramble(sets[1], 2), by=coach, reason="x", now=NOON)
    if seed == 4:
        take_set_out(scramble_set=sets[0], by=coach, reason="x", now=NOON)
    found = week_cost(coach, NOON)
    table = tables.week_table(coach, NOON.date(), NOON)
    lines = (*table.rows, *table.under_way)
    charged = {one.member: one.score.points for one in lines}
    assert {one.member: one.points for one in found.members} == charged
    assert {one.member: one.crosses for one in found.members} == {
        one.member: one.score.crosses for one in lines
    }
    # Every point stands under one heading.
    assert sum((one.points for one in found.headings), Fraction(0)) == sum(charged.values())
    assert [one.points for one in found.members] == sorted(charged.values(), reverse=True)


def test_each_heading_says_what_it_cost_and_whom(given, coach, member, second) -> None:
    yesterday = given.a_set(NOON - timedelta(hours=37), NOON - timedelta(hours=13), EASY[:2])
    given.a_plan(member, yesterday, 1, None, at=yesterday.opens_at)
    given.a_plan(second, yesterday, 1, "U U' D' R'", at=yesterday.opens_at)
    found = week_cost(coach, NOON)
    assert [(one.code, one.points, one.members) for one in found.headings] == [
        ("not_handed_in", 16, ("Bashir", "Ines")),
        ("no_plan", 8, ("Ines",)),
        ("undone_moves", 2, ("Bashir",)),
    ]


def test_an_open_set_charges_what_is_in_and_nothing_that_may_still_come(
    given, coach, member, second
) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, "U")
    found = week_cost(coach, NOON)
    assert [(one.member, one.points, one.crosses) for one in found.members] == [
        ("Ines", 8, 1),
        ("Bashir", 0, 0),
    ]
    closed = week_cost(coach, today.closes_at)
    assert [(one.member, one.points) for one in closed.members] == [("Bashir", 40), ("Ines", 40)]
    assert week_cost(coach, NOON, leave_out={today.pk}).headings == ()


def test_a_wrong_choice_of_colour_is_charged_as_that(given, club, coach, member) -> None:
    # A shortest way for yellow, where white is three moves nearer.
    scramble = "R F U' L2 F2 D2 L' D B L U2 R2 U D F2 R2 D2 L2 D R2 B2"
    today = given.a_set(scrambles=(scramble,), colours=["white", "yellow"])
    given.a_plan(member, today, 1, "U2 R2 D' F' R' L F")
    best = {colour: solve(scramble, colours=[colour])[colour] for colour in ("white", "yellow")}
    apart = best["yellow"].best - best["white"].best
    (cost,) = week_cost(coach, NOON).headings
    assert (cost.code, cost.points, cost.members) == ("colour_choice", apart, ("Ines",))
    assert apart == 3


def test_who_went_quiet_and_since_when(given, club, coach, member, second) -> None:
    long_ago = given.a_set(NOON - 20 * DAY, NOON - 19 * DAY)
    given.a_plan(member, long_ago, 1, "D' R'", at=NOON - 20 * DAY)
    # Nothing was open for a week: a holiday is nobody's silence.
    assert quiet_members(coach, NOON) == ()
    today = given.a_set()
    Membership.objects.filter(pk=second.pk).update(joined_at=NOON - 3 * DAY)
    assert [(one.member, one.last_at) for one in quiet_members(coach, NOON)] == [
        ("Ines", NOON - 20 * DAY)
    ]
    Membership.objects.filter(pk=second.pk).update(joined_at=NOON - 8 * DAY)
    assert [one.last_at for one in quiet_members(coach, NOON)] == [None, NOON - 20 * DAY]
    given.a_plan(member, today, 1, "D' R'")
    assert [one.member for one in quiet_members(coach, NOON)] == ["Bashir"]
