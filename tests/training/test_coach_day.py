"""The coach's day: who handed in, who did not, what was lost; a constant number of queries."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from training import refusals
from training.models import Membership, PlanStatus, Standing
from training.selectors import coach as selectors
from training.services.corrections import withdraw_plan

pytestmark = pytest.mark.django_db


def test_who_handed_in_and_who_did_not(given, club, coach, member, second) -> None:
    a_set = given.a_set()
    make_membership(club, "Wee", standing=Standing.CONSENT, under_18=True)
    given.a_plan(member, a_set, 1, "D2 D R'", at=NOON - timedelta(minutes=3))
    given.a_plan(member, a_set, 2, "U", at=NOON - timedelta(minutes=1))
    (today,) = selectors.overview(coach, NOON).sets
    (ines,) = today.handed_in
    assert (ines.member, ines.handed_in, ines.excess, ines.not_solved) == ("Ines", 2, 1, 1)
    assert ines.last_at == NOON - timedelta(minutes=1)
    assert [plan.number for plan in ines.plans] == [1, 2]
    assert ines.plans[0].report is not None
    assert [one.member for one in today.missing] == ["Bashir"]
    assert today.expected == 2


def test_plans_that_wait_or_failed_are_counted_so_that_somebody_looks(given, coach, member) -> None:
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "U", checked=False)
    failed = given.a_plan(member, a_set, 2, "U", checked=False)
    type(failed).objects.filter(pk=failed.pk).update(
        status=PlanStatus.FAILED, failure_reason="stopped"
    )
    (today,) = selectors.overview(coach, NOON).sets
    assert (today.waiting, today.failed) == (1, 1)


def test_without_an_open_set_the_last_closed_one_is_shown(given, coach) -> None:
    old = given.a_set(opens=NOON - timedelta(days=3), closes=NOON - timedelta(days=2))
    given.a_set(opens=NOON - timedelta(days=5), closes=NOON - timedelta(days=4))
    assert [one.head.id for one in selectors.overview(coach, NOON).sets] == [old.pk]


def test_moves_lost_are_of_this_week_most_first(given, coach, member, second) -> None:
    last_week = given.a_set(opens=NOON - timedelta(days=8), closes=NOON - timedelta(days=7))
    given.a_plan(second, last_week, 1, "D D D R'", at=last_week.opens_at)
    today = given.a_set()
    given.a_plan(member, today, 1, "D D2 R'")
    given.a_plan(member, today, 2, "U")
    given.a_plan(second, today, 1, "D' R'")
    losses = selectors.overview(coach, NOON).losses
    assert [(one.member, one.lost, one.plans, one.solved, one.exact) for one in losses] == [
        ("Ines", 1, 2, 1, 0),
        ("Bashir", 0, 1, 1, 1),
    ]


def test_a_plan_with_its_ledger_is_read_by_a_coach_of_the_club_only(
    given, coach, member, outsider
) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D2 D R'")
    seen, row = selectors.plan_for_coach(coach, plan.pk, NOON)
    assert row == plan
    assert seen.plan.report is not None
    assert [one.loss for one in seen.plan.report.ledger] == [1, 0, 0]


def test_withdrawing_needs_a_coach_and_a_reason(given, coach, member, outsider) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D2 D R'")
    for stranger in (member, outsider):
        with pytest.raises(refusals.NotAllowed):
            withdraw_plan(plan=plan, by=stranger, reason="x")
    with pytest.raises(refusals.InvalidEntry):
        withdraw_plan(plan=plan, by=coach, reason=" ")
    withdraw_plan(plan=plan, by=coach, reason="typed for a friend")
    plan.refresh_from_db()
    assert plan.status == PlanStatus.WITHDRAWN
    assert [one.by for one in plan.corrections.all()] == [coach]


@pytest.mark.parametrize("people", [1, 3])
def test_the_overview_takes_a_constant_number_of_queries(
    given, club, coach, people, django_assert_num_queries
) -> None:
    a_set = given.a_set()
    for n in range(people):
        who = make_membership(club, f"Member{n}")
        for number in range(1, people + 1):
            given.a_plan(who, a_set, number, "U")
    viewer = Membership.objects.select_related("club", "person").get(pk=coach.pk)
    with django_assert_num_queries(19):
        selectors.overview(viewer, NOON)
