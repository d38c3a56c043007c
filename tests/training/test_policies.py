"""What the state of sets and plans allows; the same rules as lists of rows."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from training import policies
from training.models import Correction, Kind, Plan, PlanStatus, ScrambleSet
from training.refusals import InvalidEntry, NoLongerPossible, SetClosed
from training.services.corrections import withdraw_plan
from training.services.plans import check_again

pytestmark = pytest.mark.django_db

SECOND = timedelta(seconds=1)


@pytest.mark.parametrize(
    ("after", "opened", "is_open", "closed"),
    [
        (-SECOND, False, False, False),
        (0 * SECOND, True, True, False),
        (3599 * SECOND, True, True, False),
        (3600 * SECOND, True, False, True),
    ],
)
def test_a_set_is_open_from_its_opening_second_to_before_its_closing_one(
    given, after, opened, is_open, closed
) -> None:
    a_set = given.a_set(opens=NOON, closes=NOON + 3600 * SECOND)
    now = NOON + after
    assert policies.has_opened(a_set, now) is opened
    assert policies.is_open(a_set, now) is is_open
    assert policies.has_closed(a_set, now) is closed
    # The same questions asked of the database.
    sets = ScrambleSet.objects.all()
    assert sets.opened(now).exists() is opened
    assert sets.to_come(now).exists() is not opened
    assert sets.closed(now).exists() is closed
    assert sets.not_closed(now).exists() is not closed
    if is_open:
        policies.require_open(a_set, now)
    else:
        with pytest.raises(SetClosed, match="not handed in"):
            policies.require_open(a_set, now)


@pytest.mark.parametrize("kind", [Kind.DAILY, Kind.HOMEWORK, Kind.CLUB_NIGHT])
def test_a_lessons_set_is_called_off_as_long_as_it_has_not_opened(given, kind) -> None:
    a_set = given.a_set(opens=NOON, closes=NOON + SECOND, kind=kind)
    lesson = kind != Kind.DAILY
    assert policies.may_be_called_off(a_set, NOON - SECOND) is lesson
    assert not policies.may_be_called_off(a_set, NOON)
    if lesson:
        assert policies.require_to_come(a_set, NOON - SECOND) is a_set
    for gone in (a_set, None):
        with pytest.raises(InvalidEntry, match="called off already"):
            policies.require_to_come(gone, NOON)


def test_newer_rules_change_results_of_closed_sets_only_when_asked(given) -> None:
    a_set = given.a_set()
    assert policies.result_may_change(a_set, a_set.closes_at - SECOND)
    assert not policies.result_may_change(a_set, a_set.closes_at)
    assert policies.result_may_change(a_set, a_set.closes_at, with_closed=True)


@pytest.mark.parametrize("status", PlanStatus.values)
def test_a_plan_is_withdrawn_once_and_checked_again_after_it_was_given_up_on(
    given, member, coach, status
) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D' R'", checked=status == PlanStatus.CHECKED)
    Plan.objects.filter(pk=plan.pk).update(
        status=status, failure_reason="stopped" * (status == PlanStatus.FAILED)
    )
    # The row decides, not what this process read of it earlier.
    if status == PlanStatus.FAILED:
        assert check_again(plan=plan, by=coach, now=NOON).status == PlanStatus.WAITING
    else:
        with pytest.raises(NoLongerPossible, match="no longer waits"):
            check_again(plan=plan, by=coach, now=NOON)
    if status == PlanStatus.WITHDRAWN:
        with pytest.raises(NoLongerPossible, match="withdrawn already") as refused:
            withdraw_plan(plan=plan, by=coach, reason="mix-up")
        assert refused.value.status == 409
    else:
        withdraw_plan(plan=plan, by=coach, reason="mix-up")
    plan.refresh_from_db()
    assert plan.status == PlanStatus.WITHDRAWN


def test_a_second_withdrawal_keeps_the_first_ones_reason(given, member, coach, owner) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D' R'")
    stale = Plan.objects.select_related("membership").get(pk=plan.pk)
    withdraw_plan(plan=plan, by=coach, reason="typed for a friend")
    with pytest.raises(NoLongerPossible):
        withdraw_plan(plan=stale, by=owner, reason="another reason")
    entry = Correction.objects.get(plan=plan)
    assert (entry.reason, entry.by) == ("typed for a friend", coach)


def test_who_is_expected_and_for_whom_a_set_counts(given, club) -> None:
    a_set = given.a_set()
    for joined, expected, counts in (
        (a_set.opens_at, True, True),
        (a_set.opens_at + SECOND, True, False),
        (a_set.closes_at - SECOND, True, False),
        (a_set.closes_at, False, False),
    ):
        who = make_membership(club, f"Joined {joined:%d %H%M%S}", joined_at=joined)
        periods = who.counting_periods.all()
        assert policies.is_expected(periods, a_set) is expected
        assert policies.counts_for(periods, a_set) is counts
