"""Sets for groups: seen, planned, counted by those who belong all the while they are open.

The product's own rule (no outside source): a set is given to a member when it lies wholly inside a
time over which the member belongs to one of its groups.
"""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.db.models import RestrictedError

from tests.conftest import NOON, make_membership
from tests.grouping import group_named, put_in
from training import belonging, visibility
from training.entry import Entry
from training.models import GroupTime, Kind, ScrambleSet, SetSummary
from training.selectors import coach as of_coach
from training.selectors import corrections, tables
from training.selectors.accounts import accounts_of
from training.selectors.plans import scramble_row, set_for, sets_now
from training.services import summaries
from training.services.groups import move
from training.services.plans import hand_in
from training.visibility import OwnPlans, Sealed

TODAY = NOON.date()
NONE_IN = OwnPlans(frozenset(), frozenset(range(1, 6)))
LONG_AGO = NOON - timedelta(days=60)


@pytest.fixture
def builders(club):
    return group_named(club, "Builders")


@pytest.fixture
def a_set(given, builders):
    made = given.a_set(kind=Kind.CLUB_NIGHT, answers_to="open", table_to="open")
    made.groups.add(builders)
    return made


def seen_by(who, a_set) -> bool:
    """By every path that leads to a set, which must agree."""
    row = ScrambleSet.objects.get(pk=a_set.pk)
    paths = {
        visibility.sees_set(who, row, NOON),
        visibility.visible_sets(who, NOON).filter(pk=a_set.pk).exists(),
        visibility.shared_sets(who, NOON).filter(pk=a_set.pk).exists(),
        visibility.sets_to_plan(who, NOON).filter(pk=a_set.pk).exists(),
        a_set.pk in {one.head.id for one in sets_now(who, NOON)},
        visibility.sees_answers(who, ScrambleSet.objects.get(pk=a_set.pk), 1, NONE_IN, NOON),
        visibility.sees_table(who, ScrambleSet.objects.get(pk=a_set.pk), NONE_IN, NOON),
        _reached(who, a_set),
    }
    assert len(paths) == 1
    return paths.pop()


def _reached(who, a_set) -> bool:
    try:
        set_for(who, a_set.pk, NOON)
        scramble_row(who, a_set.pk, 1, NOON)
        tables.set_table(who, a_set.pk, NOON)
    except Sealed:
        return False
    return True


def test_a_set_is_there_for_who_belongs_and_for_coaches(
    a_set, builders, member, second, coach, outsider
) -> None:
    put_in(builders, member, since=LONG_AGO)
    assert seen_by(member, a_set)
    assert seen_by(coach, a_set)
    assert not seen_by(second, a_set)
    assert not seen_by(outsider, a_set)
    with pytest.raises(Sealed):
        hand_in(
            membership=second,
            scramble=a_set.scrambles.select_related("scramble_set").first(),
            entry=Entry("D"),
            key=uuid.uuid4(),
            now=NOON,
        )


@pytest.mark.parametrize(
    ("since", "until", "given_then"),
    [
        (timedelta(0), None, True),
        (timedelta(seconds=1), None, False),
        (timedelta(days=-3), timedelta(0), True),
        (timedelta(days=-3), timedelta(seconds=-1), False),
        (timedelta(days=1), None, False),
    ],
)
def test_it_lies_wholly_inside_or_is_not_given(
    a_set, builders, member, since, until, given_then
) -> None:
    put_in(
        builders,
        member,
        since=a_set.opens_at + since,
        until=None if until is None else a_set.closes_at + until,
    )
    assert seen_by(member, a_set) is given_then
    times = GroupTime.objects.filter(membership=member)
    assert belonging.is_given(times, {builders.pk}, a_set) is given_then


def test_a_set_kept_open_longer_stays_its_members(a_set, builders, member) -> None:
    put_in(builders, member, since=LONG_AGO, until=a_set.closes_at)
    ScrambleSet.objects.filter(pk=a_set.pk).update(
        closes_at=a_set.closes_at + timedelta(hours=1), kept_open_from=a_set.closes_at
    )
    assert seen_by(member, a_set)


def test_a_set_for_two_groups_is_for_both(a_set, member, second, club) -> None:
    a_set.groups.add(put_in("Planners", second, since=LONG_AGO))
    put_in("Builders", member, since=LONG_AGO)
    assert seen_by(member, a_set)
    assert seen_by(second, a_set)
    assert not seen_by(make_membership(club, "Bo"), a_set)


def test_who_is_moved_while_a_set_is_open_keeps_what_was_begun(
    given, a_set, builders, member, coach, club
) -> None:
    put_in(builders, member, since=LONG_AGO)
    given.a_plan(member, a_set, 1, "D' R'")
    assert SetSummary.objects.get(membership=member).counts
    planners = group_named(club, "Planners")
    move(by=coach, memberships=[member], group=planners, from_day=TODAY, now=NOON)
    # Seen, and may be finished, but it stands without a rank and enters no total.
    assert seen_by(member, a_set)
    given.a_plan(member, a_set, 2, "R' D'")
    assert not SetSummary.objects.get(membership=member).counts
    table = tables.set_table(coach, a_set.pk, NOON)
    assert table.rows == ()
    assert [one.membership_id for one in table.outside] == [member.pk]
    assert summaries.differences() == []
    # Moved back, all of it counts again.
    move(by=coach, memberships=[member], group=builders, from_day=TODAY, now=NOON)
    assert SetSummary.objects.get(membership=member).counts
    assert GroupTime.objects.filter(membership=member).count() == 1


def test_the_club_s_tables_sum_only_what_was_given_to_everybody(
    given, a_set, builders, member, coach
) -> None:
    put_in(builders, member, since=LONG_AGO)
    of_all = given.a_set()
    given.a_plan(member, a_set, 1, None)
    given.a_plan(member, of_all, 1, "D' R'")
    later = a_set.closes_at + timedelta(hours=1)
    for table in (
        tables.day_table(coach, TODAY, NOON),
        tables.week_table(coach, TODAY, NOON),
        tables.all_time_table(coach, later),
    ):
        assert [head.id for head in table.sets] == [of_all.pk]
    assert tables.day_table(coach, TODAY, later).rows[0].score.points == 32


def test_nobody_is_charged_for_another_group_s_set(
    given, a_set, builders, member, second, coach
) -> None:
    put_in(builders, member, since=LONG_AGO)
    found = accounts_of([member, second], [a_set])
    assert (found[member.pk].total, found[second.pk].total) == (40, 0)
    day = of_coach.set_overview(coach, a_set.pk, NOON)
    assert [one.membership_id for one in day.missing] == [member.pk]
    assert day.head.groups == ("Builders",)


def test_a_coach_of_another_group_may_correct_a_group_s_set(a_set, builders, club, coach) -> None:
    racing = make_membership(club, "Rune", "coach", competes=True)
    assert corrections.concerns(racing, a_set) == (False, True)
    put_in(builders, racing, since=LONG_AGO)
    assert corrections.concerns(racing, a_set) == (True, True)


def test_a_group_with_a_set_or_a_past_cannot_go(a_set, builders, member) -> None:
    with pytest.raises(RestrictedError), transaction.atomic():
        builders.delete()
    other = put_in("Planners", member)
    with pytest.raises(RestrictedError), transaction.atomic():
        other.delete()


def test_nobody_belongs_to_two_groups_at_once(builders, member) -> None:
    put_in(builders, member, since=LONG_AGO, until=NOON)
    put_in("Planners", member, since=NOON)
    for since, until in (
        (LONG_AGO + timedelta(days=1), NOON - timedelta(days=1)),
        (NOON + timedelta(days=1), NOON + timedelta(days=2)),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            put_in("Starters", member, since=since, until=until)
