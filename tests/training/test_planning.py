"""The planner: what falls on a week, what a coach changes of it, and what never changes."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from solverworker.tasks import DRAWERS
from tests.conftest import NOON, make_membership
from training import refusals
from training.models import Club, DayOff, Kind, Membership, OtherDay, Role, ScrambleSet, Series
from training.selectors import planning as selector
from training.services import clubs, copied_weeks, planning, series
from training.services.issuing import issue_due
from training.services.planning import Seen

pytestmark = pytest.mark.django_db

TODAY = date(2026, 11, 25)
MONDAY = date(2026, 11, 23)
DAY = timedelta(days=1)
FRIDAY = TODAY + 2 * DAY
NEXT = MONDAY + 7 * DAY
NIGHT = {
    "kind": "club_night",
    "opens": time(18, 0),
    "closes": time(20, 0),
    "scrambles": 3,
}


@pytest.fixture
def night(club: Club) -> Series:
    return club.series.create(kind=Kind.CLUB_NIGHT, weekdays=[4], opens=time(18), closes=time(20))


def see(coach: Membership, monday: date = MONDAY, now: datetime = NOON) -> Seen:
    return Seen(monday, selector.week(coach, monday, now).version)


def plan_of(coach: Membership, monday: date = MONDAY, now: datetime = NOON) -> dict[str, list[str]]:
    """The kinds by day, as the planner has them."""
    found = selector.week(coach, monday, now)
    return {str(one.day): [each.kind for each in one.sets] for one in found.days if one.sets}


def test_a_week_tells_what_opened_and_what_is_to_come(club, coach, given, night) -> None:
    given.a_set(opens=NOON - timedelta(hours=37), closes=NOON - timedelta(hours=13))
    issue_due(drawer=DRAWERS.daily, now=NOON)
    found = selector.week(coach, MONDAY, NOON)
    told = [[(one.kind, one.set_id is not None) for one in day.sets] for day in found.days]
    daily, opened = ("daily", False), ("daily", True)
    assert told == [
        *([], [opened], [opened], [daily]),
        *([daily, ("club_night", False)], [daily], [daily]),
    ]
    assert [day.is_over for day in found.days] == [True, True, *[False] * 5]
    of_friday = found.days[4].sets[1]
    assert of_friday.crosses is not None
    assert (of_friday.crosses.scrambles, of_friday.crosses.colours) == (5, ("yellow",))


def test_a_window_of_days_is_told_where_it_closes(club, coach, night) -> None:
    Series.objects.filter(pk=night.pk).update(days_later=4, weekdays=[5])
    found = selector.week(coach, NEXT, NOON)
    assert [len(one.closing) for one in found.days] == [0, 0, 1, 0, 0, 0, 0]


def test_the_tick_that_draws_tomorrows_set_changes_no_version(club, coach) -> None:
    before = see(coach)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert see(coach) == before


def test_a_competing_coach_reads_kind_and_times_of_what_is_sealed(club, coach, night) -> None:
    rival = make_membership(club, "Runa", Role.COACH, competes=True)
    for day in selector.week(rival, MONDAY, NOON).days:
        for one in day.sets:
            assert one.crosses is None
            assert one.opens_at < one.closes_at


def test_a_set_more_is_planned_for_one_day_and_issued_then(club, coach) -> None:
    made = planning.add_set(by=coach, seen=see(coach), day=FRIDAY, settings=NIGHT, now=NOON)
    assert plan_of(coach)["2026-11-27"] == ["daily", "club_night"]
    for day in range(10):
        issue_due(drawer=DRAWERS.daily, now=NOON + day * DAY)
    assert list(ScrambleSet.objects.filter(series=made).values_list("day", flat=True)) == [FRIDAY]


def test_left_out_moved_and_put_back(club, coach, night) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON + DAY)
    assert ScrambleSet.objects.filter(series=night).count() == 1
    known = {"by": coach, "series_id": night.pk, "day": FRIDAY, "now": NOON + DAY}
    planning.leave_out(**known, seen=see(coach, now=NOON + DAY))
    assert not ScrambleSet.objects.filter(series=night).exists()
    assert plan_of(coach)["2026-11-27"] == ["daily"]
    planning.put_back(**known, seen=see(coach, now=NOON + DAY))
    planning.move(
        **known,
        seen=see(coach, now=NOON + DAY),
        to_day=FRIDAY + DAY,
        opens=time(10, 0),
        closes=time(12, 0),
    )
    assert plan_of(coach)["2026-11-28"] == ["daily", "club_night"]
    issue_due(drawer=DRAWERS.daily, now=NOON + 2 * DAY)
    moved = ScrambleSet.objects.get(series=night)
    assert moved.opens_at == datetime(2026, 11, 28, 9, 0, tzinfo=UTC)
    planning.put_back(**known, seen=see(coach, now=NOON + DAY))
    assert not ScrambleSet.objects.filter(series=night).exists()
    assert plan_of(coach)["2026-11-27"] == ["daily", "club_night"]


def test_a_set_moved_once_is_moved_again_and_keeps_its_day_by_the_rule(club, coach, night) -> None:
    times = {"opens": time(18, 0), "closes": time(20, 0), "now": NOON}
    common = {"by": coach, "series_id": night.pk, **times}
    planning.move(**common, seen=see(coach), day=FRIDAY, to_day=FRIDAY + DAY)
    planning.move(**common, seen=see(coach), day=FRIDAY + DAY, to_day=FRIDAY - DAY)
    assert list(OtherDay.objects.values_list("day", "held_on")) == [(FRIDAY, FRIDAY - DAY)]


def test_a_day_has_one_set_of_a_series(club, coach, night) -> None:
    times = {"opens": time(18, 0), "closes": time(20, 0), "now": NOON}
    common = {"by": coach, "series_id": night.pk, **times}
    with pytest.raises(refusals.InvalidEntry, match="has a set on that day already") as refused:
        planning.move(**common, seen=see(coach), day=FRIDAY, to_day=FRIDAY + 7 * DAY)
    assert refused.value.field == "to_day"
    planning.leave_out(by=coach, seen=see(coach), series_id=night.pk, day=FRIDAY, now=NOON)
    planning.move(**common, seen=see(coach, NEXT), day=FRIDAY + 7 * DAY, to_day=FRIDAY)
    with pytest.raises(refusals.InvalidEntry, match="another set on that day"):
        planning.put_back(by=coach, seen=see(coach), series_id=night.pk, day=FRIDAY, now=NOON)


def test_what_has_opened_never_changes(club, coach) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    first = club.first_series
    common = {"by": coach, "series_id": first.pk, "day": TODAY, "now": NOON}
    with pytest.raises(refusals.NoLongerPossible, match="Under Corrections"):
        planning.leave_out(**common, seen=see(coach))
    with pytest.raises(refusals.NoLongerPossible, match="Under Corrections"):
        planning.move(
            **common, seen=see(coach), to_day=FRIDAY, opens=time(9, 0), closes=time(10, 0)
        )
    with pytest.raises(refusals.NoLongerPossible, match="Under Corrections"):
        planning.day_off(by=coach, seen=see(coach), day=TODAY, now=NOON)
    with pytest.raises(refusals.InvalidEntry, match="open already"):
        planning.add_set(
            by=coach,
            seen=see(coach),
            day=TODAY,
            settings=NIGHT | {"opens": time(9, 0)},
            now=NOON,
        )
    with pytest.raises(refusals.InvalidEntry, match="day is over"):
        planning.add_set(by=coach, seen=see(coach), day=MONDAY, settings=NIGHT, now=NOON)
    assert Series.objects.filter(club=club).count() == 1
    assert not OtherDay.objects.exists()
    assert not DayOff.objects.exists()


@pytest.mark.parametrize("change", ["series", "other day", "day off", "more", "zone", "group"])
def test_two_coaches_never_overwrite_each_other(club, coach, owner, night, change) -> None:
    mine, theirs = see(coach), see(owner)
    if change == "series":
        settings = {"scrambles": 7}
        series.change_series(by=owner, series=night, changes=settings, now=NOON)
    elif change == "other day":
        planning.leave_out(by=owner, seen=theirs, series_id=night.pk, day=FRIDAY, now=NOON)
    elif change == "day off":
        clubs.add_day_off(by=owner, day=FRIDAY, now=NOON)
    elif change == "more":
        planning.add_set(by=owner, seen=theirs, day=FRIDAY, settings=NIGHT, now=NOON)
    elif change == "zone":
        clubs.change_settings(by=owner, changes={"time_zone": "Asia/Tokyo"}, now=NOON)
        club.refresh_from_db()
    else:
        starters = club.groups.create(name="Starters")
        series.change_series(by=owner, series=night, changes={}, groups=[starters], now=NOON)
    before = list(OtherDay.objects.values()), list(Series.objects.values())
    coach = Membership.objects.select_related("club", "person").get(pk=coach.pk)
    acts = (
        lambda: planning.leave_out(
            by=coach, seen=mine, series_id=club.first_series.pk, day=FRIDAY, now=NOON
        ),
        lambda: planning.add_set(by=coach, seen=mine, day=FRIDAY, settings=NIGHT, now=NOON),
        lambda: planning.day_off(by=coach, seen=mine, day=FRIDAY, now=NOON),
        lambda: planning.day_on(by=coach, seen=mine, day=FRIDAY, now=NOON),
        lambda: copied_weeks.copy_last_week(by=coach, seen=mine, now=NOON),
    )
    for act in acts:
        with pytest.raises(refusals.PlanChanged, match="changed meanwhile"):
            act()
    assert (list(OtherDay.objects.values()), list(Series.objects.values())) == before


def test_last_week_once_more_is_what_was_done_by_hand(club, coach, night) -> None:
    groups = [club.groups.create(name="Starters")]
    planning.add_set(by=coach, seen=see(coach), day=FRIDAY, settings=NIGHT, groups=groups, now=NOON)
    daily = club.first_series
    planning.leave_out(by=coach, seen=see(coach), series_id=daily.pk, day=FRIDAY, now=NOON)
    planning.move(
        by=coach,
        seen=see(coach),
        series_id=night.pk,
        day=FRIDAY,
        to_day=FRIDAY + DAY,
        opens=time(10, 0),
        closes=time(12, 0),
        now=NOON,
    )
    clubs.add_day_off(by=coach, day=NEXT, now=NOON)
    done = copied_weeks.copy_last_week(by=coach, seen=see(coach, NEXT), now=NOON)
    assert done == 3
    assert plan_of(coach, NEXT) == {
        "2026-12-01": ["daily"],
        "2026-12-02": ["daily"],
        "2026-12-03": ["daily"],
        "2026-12-04": ["club_night"],
        "2026-12-05": ["daily", "club_night"],
        "2026-12-06": ["daily"],
    }
    copied = Series.objects.get(only_on=FRIDAY + 7 * DAY)
    assert list(copied.groups.all()) == groups
    with pytest.raises(refusals.InvalidEntry, match="Nothing was done by hand"):
        copied_weeks.copy_last_week(by=coach, seen=see(coach, NEXT), now=NOON)


def test_holidays_are_noted_at_once_or_not_at_all(club, coach, night) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    days = [TODAY + n * DAY for n in range(1, 12)]
    clubs.add_day_off(by=coach, day=days[0], reason="before", now=NOON)
    assert planning.holidays(by=coach, days=days, reason="autumn", now=NOON) == 10
    assert not ScrambleSet.objects.filter(day__gt=TODAY).exists()
    assert DayOff.objects.get(day=days[0]).reason == "before"
    DayOff.objects.all().delete()
    with pytest.raises(refusals.NoLongerPossible, match="has opened"):
        planning.holidays(by=coach, days=[TODAY, *days], now=NOON)
    with pytest.raises(refusals.InvalidEntry, match="is over"):
        planning.holidays(by=coach, days=[TODAY - DAY, *days], now=NOON)
    with pytest.raises(refusals.InvalidEntry, match="at once"):
        planning.holidays(by=coach, days=[TODAY + n * DAY for n in range(1, 150)], now=NOON)
    assert not DayOff.objects.exists()


def test_members_and_strangers_plan_nothing(club, coach, member, outsider, night) -> None:
    seen = see(coach)
    for who in (member, outsider):
        with pytest.raises((refusals.NotAllowed, refusals.PlanChanged)):
            planning.leave_out(by=who, seen=seen, series_id=night.pk, day=FRIDAY, now=NOON)
        with pytest.raises((refusals.NotAllowed, refusals.PlanChanged)):
            planning.add_set(by=who, seen=seen, day=FRIDAY, settings=NIGHT, now=NOON)
    with pytest.raises(refusals.NotAllowed):
        planning.holidays(by=member, days=[FRIDAY], now=NOON)
    # With the version of the own club's week, another club's series is not there.
    with pytest.raises(refusals.InvalidEntry):
        planning.leave_out(
            by=outsider, seen=see(outsider), series_id=night.pk, day=FRIDAY, now=NOON
        )
    assert not OtherDay.objects.exists()


def test_a_week_takes_as_many_queries_however_full_it_is(
    club, coach, night, django_assert_num_queries
) -> None:
    night.groups.add(club.groups.create(name="Starters"))
    night.other_days.create(day=FRIDAY)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    with django_assert_num_queries(6):
        selector.week(coach, MONDAY, NOON)
    for number in range(12):
        made = club.series.create(kind=Kind.CLUB_NIGHT, scrambles=number + 1)
        made.groups.add(club.groups.create(name=f"Group {number}"))
        made.other_days.create(day=FRIDAY)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    with django_assert_num_queries(6):
        selector.week(coach, MONDAY, NOON)
