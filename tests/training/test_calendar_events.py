"""A calendar tells when sets open and close, and days off: nothing of what is in one."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import pytest

from solverworker.tasks import DRAWERS
from tests.conftest import NOON, make_membership
from training import refusals
from training.models import CalendarAddress, Drawn, Kind, Membership, ScrambleSet, Standing
from training.selectors import calendar_events
from training.services import accounts, clubs, feeds
from training.services.issuing import issue_due
from training.services.lesson_sets import make_homework
from training.services.phrases import digest

pytestmark = pytest.mark.django_db

DAY = timedelta(days=1)
TODAY = date(2026, 11, 25)


def told(who: Membership, now: datetime = NOON) -> list[tuple[str, str]]:
    """Kind and day of opening of what a calendar holds."""
    found = calendar_events.calendar_of(who, now)
    return [(one.kind, f"{one.opens_at + timedelta(hours=1):%m-%d}") for one in found.sets]


def test_it_holds_what_opened_and_what_is_to_come_but_for_days_off(club, member, given) -> None:
    given.a_set(opens=NOON - timedelta(hours=37), closes=NOON - timedelta(hours=13))
    coach = make_membership(club, "Kari", "coach")
    clubs.add_day_off(by=coach, day=TODAY + 2 * DAY, now=NOON)
    club.series.create(kind=Kind.CLUB_NIGHT, weekdays=[3], opens=time(18), closes=time(20))
    found = told(member)
    assert found[:5] == [
        *(("daily", "11-24"), ("daily", "11-25"), ("daily", "11-26")),
        *(("club_night", "11-26"), ("daily", "11-28")),
    ]
    assert calendar_events.calendar_of(member, NOON).days_off == (TODAY + 2 * DAY,)


def test_a_set_is_the_same_event_before_and_after_it_is_drawn(club, member) -> None:
    before = calendar_events.calendar_of(member, NOON).sets
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert calendar_events.calendar_of(member, NOON).sets == before
    later = calendar_events.calendar_of(member, NOON + DAY).sets
    assert set(before) & set(later) == set(before)


def test_homework_to_come_is_told_by_kind_and_time_and_practice_of_nobody_else(
    club, coach, member, second, given
) -> None:
    make_homework(
        by=coach,
        code="base_turn",
        scrambles=2,
        lengths=(3, 5),
        opens_day=TODAY + DAY,
        days=3,
        now=NOON,
    )
    given.a_set(kind="practice", drawn=Drawn.PICKED, for_member=second)
    kinds = {kind for kind, _day in told(member)}
    assert kinds == {"daily", "homework"}
    assert {kind for kind, _day in told(second)} == kinds


def test_a_groups_series_is_in_the_calendars_of_the_group_and_of_coaches(
    club, coach, member, second
) -> None:
    starters = club.groups.create(name="Starters")
    member.group_times.create(group=starters, begins_at=NOON - 30 * DAY)
    club.series.create(kind=Kind.CLUB_NIGHT).groups.add(starters)
    club.first_series.groups.add(club.groups.create(name="Planners"))
    assert {kind for kind, _day in told(member)} == {"club_night"}
    assert {kind for kind, _day in told(second)} == set()
    assert {kind for kind, _day in told(coach)} == {"daily", "club_night"}


def test_an_address_works_until_it_is_renewed_or_taken_back(member) -> None:
    first = feeds.make_address(membership=member, now=NOON)
    assert calendar_events.of_address(digest(first)) == member
    second = feeds.make_address(membership=member, now=NOON)
    assert calendar_events.of_address(digest(first)) is None
    assert calendar_events.of_address(digest(second)) == member
    assert calendar_events.of_address("") is None
    assert first not in str(list(CalendarAddress.objects.values()))
    assert feeds.take_address_back(membership=member)
    assert calendar_events.of_address(digest(second)) is None
    assert not feeds.take_address_back(membership=member)


def test_an_archived_members_address_is_gone_for_good(coach, owner, member) -> None:
    token = feeds.make_address(membership=member, now=NOON)
    accounts.archive_membership(by=coach, membership=member, now=NOON)
    assert calendar_events.of_address(digest(token)) is None
    accounts.reopen_membership(by=coach, membership=member, now=NOON)
    assert calendar_events.of_address(digest(token)) is None
    accounts.archive_membership(by=coach, membership=member, now=NOON)
    with pytest.raises(refusals.NotAllowed):
        feeds.make_address(membership=member, now=NOON)


@pytest.mark.parametrize("standing", [Standing.CONSENT, Standing.WAITING, Standing.ARCHIVED])
def test_an_account_that_is_not_open_reads_no_calendar(member, standing) -> None:
    token = feeds.make_address(membership=member, now=NOON)
    Membership.objects.filter(pk=member.pk).update(standing=standing)
    assert calendar_events.of_address(digest(token)) is None


def test_as_many_queries_however_much_it_holds(club, member, django_assert_num_queries) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    with django_assert_num_queries(9):
        calendar_events.calendar_of(member, NOON)
    for number in range(9):
        club.series.create(kind=Kind.CLUB_NIGHT, days_later=number)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert ScrambleSet.objects.count() > 20
    again = Membership.objects.select_related("club").get(pk=member.pk)
    with django_assert_num_queries(9):
        calendar_events.calendar_of(again, NOON)
