"""Who sees a set by group, by an own window, by when it closed. The rules are the club's own."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from tests.grouping import put_in
from training import visibility
from training.models import Drawn, Group, Kind, Role, ScrambleSet
from training.rules import Sight
from training.services import corrections
from training.visibility import OwnPlans

pytestmark = pytest.mark.django_db

HOUR, DAY = timedelta(hours=1), timedelta(days=1)


def test_a_review_leaves_out_what_was_due_and_is_open_longer(given, coach) -> None:
    fields = {"kind": Kind.CLUB_NIGHT, "opens": NOON - 2 * HOUR, "closes": NOON - HOUR}
    told, longer = given.a_set(**fields), given.a_set(**fields)
    ScrambleSet.objects.filter(pk=longer.pk).update(closes_at=NOON + HOUR)
    assert set(visibility.reviewed_sets(coach, NOON - DAY, NOON)) == {told}


def test_who_belonged_to_a_group_of_the_club_at_an_instant(
    club, coach, member, second, other_club
) -> None:
    put_in("Early", second, since=NOON - 9 * DAY, until=NOON - 5 * DAY)
    stray = Group.objects.create(club=other_club, name="Early")
    put_in(stray, member, since=NOON - 9 * DAY)
    then = NOON - 7 * DAY
    assert list(visibility.reviewed_members(coach, "Early", at=then)) == [second]
    assert list(visibility.reviewed_members(coach, "Early", at=NOON)) == []


def test_the_tables_of_groups_are_for_who_has_belonged(club, coach, member, second) -> None:
    put_in("Late", second, since=NOON - 3 * DAY, until=NOON - DAY)
    put_in("Ahead", member, since=NOON + DAY)
    seen = {
        who: {one.name for one in visibility.tables_of_groups(who, NOON)}
        for who in (coach, member, second)
    }
    assert seen == {coach: {"Late", "Ahead"}, member: set(), second: {"Late"}}


def test_a_set_for_groups_is_there_for_who_is_given_it_and_for_coaches(
    given, club, coach, member, second
) -> None:
    mine, others = (given.a_set(kind=Kind.CLUB_NIGHT, opens=NOON - HOUR) for _ in range(2))
    mine.groups.add(put_in("Late", second, since=NOON - DAY))
    others.groups.add(put_in("Other", make_membership(club, "Eskil"), since=NOON - DAY))
    for who, seen in ((coach, [True, True]), (second, [True, False]), (member, [False, False])):
        # Asked twice: what a row notes the first time it notes for that viewer.
        for _ in range(2):
            rows = [ScrambleSet.objects.get(pk=one.pk) for one in (mine, others)]
            assert [visibility.sees_set(who, one, NOON) for one in rows * 2] == seen * 2


def test_nobody_sees_a_set_before_an_own_window_begins(given, club, coach, member) -> None:
    racing = make_membership(club, "Rune", Role.COACH, competes=True)
    one = given.a_set()
    begins = one.closes_at + HOUR
    corrections.keep_open(
        scramble_set=one,
        until=begins + HOUR,
        begins=begins,
        by=coach,
        reason="away",
        members=[member, racing],
        now=NOON,
    )
    one.refresh_from_db()
    for now, seen in ((NOON, False), (begins, True)):
        assert [visibility.sees_set(who, one, now) for who in (member, racing)] == [seen, seen]
        assert visibility.sees_set(coach, one, now)


def test_who_stopped_competing_is_still_in_what_had_opened(given, club) -> None:
    rune = make_membership(club, "Rune", Role.COACH, competes=False, stopped_competing_at=NOON)
    before, then = (
        given.a_set(kind=Kind.CLUB_NIGHT, opens=opens, closes=NOON + 2 * HOUR)
        for opens in (NOON - timedelta(seconds=1), NOON)
    )
    sealed = [visibility.in_sealed_mode(rune, one, NOON + HOUR) for one in (before, then)]
    assert sealed == [True, False]


def test_of_somebody_elses_homework_a_member_reads_nothing(given, coach, member, second) -> None:
    own = given.a_set(
        kind=Kind.HOMEWORK,
        drawn=Drawn.PICKED,
        for_member=member,
        answers_to=Sight.OPEN,
        table_to=Sight.OPEN,
    )
    all_in = OwnPlans(frozenset(range(1, 6)), frozenset(range(1, 6)))
    for sees, more in ((visibility.sees_answers, (1, all_in)), (visibility.sees_table, (all_in,))):
        assert [sees(who, own, *more, NOON) for who in (coach, member, second)] == [
            True,
            True,
            False,
        ]
