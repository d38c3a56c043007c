"""Planning a closed set again: for oneself, and nothing that counts is changed by it.

Common practice, no source.
"""

from __future__ import annotations

import dataclasses
import random
from datetime import timedelta
from typing import Any

import pytest

from solverworker import tasks
from tests.conftest import EASY, NOON, Given, make_membership
from training import policies, visibility
from training.models import (
    Club,
    Drawn,
    Kind,
    Membership,
    Plan,
    PracticeDue,
    ScrambleSet,
    ScrambleSummary,
    SetSummary,
    TechniqueCount,
)
from training.refusals import NoLongerPossible, NotAllowed
from training.rights import require_enter
from training.selectors import coach as coachs
from training.selectors import tables
from training.selectors.accounts import accounts_of
from training.selectors.group_reviews import group_review
from training.selectors.improvements import improvements
from training.selectors.plans import set_for
from training.selectors.practice import plan_of_practice
from training.selectors.reviews import member_review
from training.services import corrections, summaries, verifying
from training.services.afterwards import FOR_GOOD, plan_afterwards
from training.services.erasing import erase_membership
from training.services.exporting import club_data
from training.visibility import Sealed

DAY = timedelta(days=1)
BEST = ("D' R'", "R' D'", "F' R'", "R' F'", "B' R'")


def closed(given: Given, days: int = 1, **fields: Any) -> ScrambleSet:
    opens = NOON - timedelta(hours=13) - days * DAY
    return given.a_set(opens=opens, closes=opens + DAY, **fields)


class TestBeginning:
    def test_gives_the_same_scrambles_in_a_set_of_ones_own(
        self, member: Membership, given: Given
    ) -> None:
        old = closed(given, spelling="strict", answers_to="closing")
        own = plan_afterwards(membership=member, scramble_set=old, now=NOON)
        assert (own.kind, own.drawn, own.again_of_id) == (Kind.AFTERWARDS, Drawn.AGAIN, old.pk)
        assert (own.day, own.closes_at, own.for_member_id) == (old.day, FOR_GOOD, member.pk)
        assert tuple(own.scrambles.values_list("text", flat=True)) == EASY
        assert (own.rules.strict, own.rules.answers_to) == (True, "own_plan")

    def test_twice_is_once(self, member: Membership, given: Given) -> None:
        old = closed(given)
        first, second = (
            plan_afterwards(membership=member, scramble_set=old, now=NOON) for _ in range(2)
        )
        assert first.pk == second.pk

    def test_waits_until_the_set_has_closed(self, member: Membership, given: Given) -> None:
        today = given.a_set()
        for now in (NOON, today.closes_at - timedelta(seconds=1)):
            with pytest.raises(NoLongerPossible):
                plan_afterwards(membership=member, scramble_set=today, now=now)
        assert plan_afterwards(membership=member, scramble_set=today, now=today.closes_at)

    def test_is_of_the_clubs_sets_alone(
        self, member: Membership, second: Membership, other_club: Club, given: Given
    ) -> None:
        own = plan_afterwards(membership=member, scramble_set=closed(given), now=NOON)
        with pytest.raises(NoLongerPossible):
            plan_afterwards(membership=member, scramble_set=own, now=NOON)
        practice = closed(given, kind="practice", drawn=Drawn.PICKED, for_member=second)
        for not_there in (practice, closed(given, club=other_club), closed(given, -1)):
            with pytest.raises(Sealed):
                plan_afterwards(membership=member, scramble_set=not_there, now=NOON)

    def test_is_for_who_joined_later_and_for_a_set_that_was_taken_out(
        self, club: Club, owner: Membership, given: Given
    ) -> None:
        old = closed(given)
        corrections.void_scramble(scramble=given.scramble(old, 2), by=owner, reason="x", now=NOON)
        corrections.take_set_out(scramble_set=old, by=owner, reason="x", now=NOON)
        late = make_membership(club, "Late", joined_at=NOON)
        old.refresh_from_db()
        own = plan_afterwards(membership=late, scramble_set=old, now=NOON)
        assert own.scrambles.count() == 5
        assert not own.taken_out

    def test_is_not_for_a_closed_account(self, club: Club, given: Given) -> None:
        gone = make_membership(club, "Arvid", standing="archived")
        with pytest.raises(NotAllowed):
            require_enter(gone)
        with pytest.raises(NotAllowed):
            plan_afterwards(membership=gone, scramble_set=closed(given), now=NOON)


class TestSight:
    def test_answers_come_after_each_own_plan(self, member: Membership, given: Given) -> None:
        own = plan_afterwards(membership=member, scramble_set=closed(given), now=NOON)
        assert not any(one.answers_open for one in set_for(member, own.pk, NOON).scrambles)
        given.a_plan(member, own, 1, "D2 D R'")
        view = set_for(member, own.pk, NOON)
        assert [one.answers_open for one in view.scrambles] == [True, False, False, False, False]
        assert view.scrambles[0].plan.report.excess == 1
        assert not view.table_open

    def test_answers_for_the_coaches_alone_stay_so(self, member: Membership, given: Given) -> None:
        old = closed(given, answers_to="coaches", table_to="coaches")
        own = plan_afterwards(membership=member, scramble_set=old, now=NOON)
        given.a_plan(member, own, 1, "D' R'")
        view = set_for(member, own.pk, NOON).scrambles[0].plan
        assert (view.solved, view.moves, view.report) == (True, 2, None)

    def test_nobody_else_sees_it(
        self, member: Membership, second: Membership, coach: Membership, given: Given
    ) -> None:
        own = plan_afterwards(membership=member, scramble_set=closed(given), now=NOON)
        plan = given.a_plan(member, own, 1, "D' R'")
        for other in (second, coach):
            with pytest.raises(Sealed):
                set_for(other, own.pk, NOON)
        with pytest.raises(Sealed):
            coachs.plan_for_coach(coach, plan.pk, NOON)
        assert not visibility.shared_sets(coach, NOON).filter(pk=own.pk).exists()


def all_that_counts(club: Club, people: list[Membership], coach: Membership) -> dict[str, Any]:
    """Everything that sums up anybody's plans, as values."""
    found: dict[str, Any] = {
        "reviewed": group_review(coach, NOON),
        "improved": improvements(coach, NOON),
        "coach's day": coachs.overview(coach, NOON),
        "due": list(PracticeDue.objects.values_list("membership", "code", "step", "last")),
        "summaries": list(SetSummary.objects.filter(counts=True).values_list()),
        "ideas": list(TechniqueCount.objects.filter(counts=True).values_list()),
        "crosses": list(
            ScrambleSummary.objects.filter(
                scramble__scramble_set__for_member__isnull=True
            ).values_list()
        ),
    }
    since = NOON - 30 * DAY
    for viewer in (*people, coach):
        found[f"all time, {viewer}"] = tables.all_time_table(viewer, NOON)
        found[f"week, {viewer}"] = tables.week_table(viewer, (NOON - 2 * DAY).date(), NOON)
        found[f"practice of {viewer}"] = plan_of_practice(viewer, NOON)
        sets = visibility.reviewed_sets(viewer, since, NOON)
        found[f"accounts, {viewer}"] = accounts_of(people, sets)
    for who in people:
        review = member_review(who, NOON, viewer=who)
        found[f"review of {who}"] = {
            one.name: getattr(review, one.name)
            for one in dataclasses.fields(review)
            if one.name != "membership"
        }
    return found


@pytest.mark.parametrize("seed", range(4))
def test_nothing_that_counts_is_changed_by_it(
    seed: int, club: Club, coach: Membership, given: Given
) -> None:
    """Whoever plans whatever again: every table, sum, review, account and what is due stays."""
    source = random.Random(seed)
    people = [make_membership(club, name) for name in ("Ada", "Bo", "Cy")]
    sets = [closed(given, days) for days in range(1, 6)]
    for who in people:
        for one in sets:
            for number in range(1, 6):
                if source.random() < 0.7:
                    moves = source.choice([BEST[number - 1], "U", f"U U' {BEST[number - 1]}", None])
                    given.a_plan(who, one, number, moves, at=one.opens_at)
    corrections.take_set_out(scramble_set=sets[4], by=coach, reason="x", now=NOON)
    late = make_membership(club, "Late", joined_at=NOON, competes=False)
    before = all_that_counts(club, people, coach)
    planned = 0
    for who in (*people, late):
        for old in source.sample(sets, 3):
            own = plan_afterwards(membership=who, scramble_set=old, now=NOON)
            for number in source.sample(range(1, 6), 3):
                moves = source.choice([BEST[number - 1], "U", f"U U' {BEST[number - 1]}", None])
                given.a_plan(who, own, number, moves)
                planned += 1
    assert planned == 36
    after = all_that_counts(club, people, coach)
    assert {name for name in before if before[name] != after[name]} == set()
    assert summaries.differences() == []
    run = verifying.begin_again()
    while verifying.work(run=run, check=tasks.checker, make=tasks.outlook_maker):
        pass
    assert not run.differences.exists()
    assert not SetSummary.objects.filter(scramble_set__kind=Kind.AFTERWARDS, counts=True).exists()


def test_its_plans_never_enter_totals_by_rule(member: Membership, given: Given) -> None:
    own = plan_afterwards(membership=member, scramble_set=closed(given), now=NOON)
    assert not policies.enters_totals(member.counting_periods.all(), own, given=True)
    assert not own.is_noted_in_practice


class TestOnesData:
    def test_holds_them(self, member: Membership, given: Given) -> None:
        own = plan_afterwards(membership=member, scramble_set=closed(given), now=NOON)
        given.a_plan(member, own, 1, "D' R'")
        found = club_data(by=member, membership=member, now=NOON)
        assert found.afterwards == (own.day,)
        assert found.practice_sets == ()
        assert [one.kind_of_set for one in found.plans] == ["afterwards"]

    def test_is_erased_with_them(self, owner: Membership, member: Membership, given: Given) -> None:
        own = plan_afterwards(membership=member, scramble_set=closed(given), now=NOON)
        given.a_plan(member, own, 1, "D' R'")
        erase_membership(by=owner, membership=member, typed=member.display_name, now=NOON)
        assert not ScrambleSet.objects.filter(kind=Kind.AFTERWARDS).exists()
        assert not Plan.objects.exists()
