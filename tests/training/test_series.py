"""Series: the days and hours of their sets, by rule and otherwise; several beside one another."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given as examples
from hypothesis import strategies as st

from solverworker.tasks import DRAWERS
from tests.conftest import NOON
from training import clock, recurrence, refusals
from training.models import Club, DayOff, Group, Kind, OtherDay, ScrambleSet, Series
from training.selectors import occurrences
from training.services import clubs, periodic, series
from training.services.issuing import issue_due

TODAY = date(2026, 11, 25)
DAY = timedelta(days=1)
FRIDAY = TODAY + 2 * DAY

ZONES = ("Europe/Oslo", "Australia/Sydney", "America/Santiago", "Asia/Tokyo")
"""Two of them south of the equator, where clocks are put forward in spring: October, September."""


# The rule of the versions before series, as they had it, written out once more.


def old_window(day: date, opens: time, closes: time, zone: ZoneInfo) -> clock.Window:
    closing_day = day if closes > opens else day + DAY
    edge: clock.Edge = "opening" if closes == opens else "closing"
    opens_at = clock.local_to_utc(day, opens, zone, "opening")
    closes_at = clock.local_to_utc(closing_day, closes, zone, edge)
    if closes_at <= opens_at:
        closes_at = opens_at + timedelta(hours=1)
    return clock.Window(opens_at, closes_at)


def old_days(
    weekdays: list[int], off: set[date], opens: time, closes: time, zone: ZoneInfo, now: datetime
) -> list[tuple[date, clock.Window]]:
    today = now.astimezone(zone).date()
    return [
        (day, window)
        for day in (today - DAY, today, today + DAY)
        if day.weekday() in weekdays and day not in off
        for window in (old_window(day, opens, closes, zone),)
        if window.closes_at > now
    ]


TIMES = st.times(min_value=time(0, 0)).map(lambda one: one.replace(second=0, microsecond=0))


@examples(
    weekdays=st.lists(st.integers(0, 6), unique=True),
    off=st.sets(st.integers(-2, 2)),
    opens=TIMES,
    closes=TIMES,
    zone=st.sampled_from(ZONES).map(ZoneInfo),
    now=st.datetimes(datetime(2026, 1, 1), datetime(2027, 12, 31), timezones=st.just(UTC)),
)
def test_a_first_series_has_the_days_and_hours_of_the_old_rule(
    weekdays: list[int],
    off: set[int],
    opens: time,
    closes: time,
    zone: ZoneInfo,
    now: datetime,
) -> None:
    today = now.astimezone(zone).date()
    days_off = {today + one * DAY for one in off}
    club = Club(time_zone=zone.key)
    rule = Series(pk=1, club=club, weekdays=weekdays, opens=opens, closes=closes)
    rule._prefetched_objects_cache = {"other_days": []}  # type: ignore[attr-defined]
    found = occurrences.of_series(rule, today - DAY, today + DAY, off=days_off)
    due = [(one.day, one.window) for one in found if one.window.closes_at > now]
    assert due == old_days(weekdays, days_off, opens, closes, zone, now)


@examples(
    weekdays=st.sets(st.integers(0, 6)),
    first=st.dates(date(2026, 1, 1), date(2027, 1, 1)),
    length=st.integers(-1, 40),
    begins=st.none() | st.dates(date(2026, 1, 1), date(2027, 1, 1)),
    stops=st.none() | st.dates(date(2026, 1, 1), date(2027, 1, 1)),
)
def test_days_of_a_rule_are_those_counted_one_by_one(
    weekdays: set[int], first: date, length: int, begins: date | None, stops: date | None
) -> None:
    last = first + length * DAY
    plain = [
        day
        for day in (first + n * DAY for n in range(length + 1))
        if day.weekday() in weekdays
        and (begins is None or day >= begins)
        and (stops is None or day < stops)
    ]
    assert recurrence.days(weekdays, first, last, begins_on=begins, stopped_on=stops) == plain


@pytest.mark.parametrize(
    ("zone", "day", "hours"),
    [
        # Clocks are put back in Oslo in the night to 25 October 2026, forward in Sydney in the
        # night to 4 October 2026 and back on 5 April (IANA's data): an hour more or less.
        ("Europe/Oslo", date(2026, 10, 23), 3 * 24 + 3 + 1),
        ("Europe/Oslo", date(2026, 3, 27), 3 * 24 + 3 - 1),
        ("Australia/Sydney", date(2026, 10, 2), 3 * 24 + 3 - 1),
        ("Australia/Sydney", date(2026, 4, 3), 3 * 24 + 3 + 1),
        ("Australia/Sydney", date(2026, 6, 5), 3 * 24 + 3),
    ],
)
def test_a_window_of_days_opens_and_closes_by_the_clock_on_the_wall(
    zone: str, day: date, hours: int
) -> None:
    window = clock.window_of_day(day, time(17, 0), time(20, 0), ZoneInfo(zone), 3)
    local = [at.astimezone(ZoneInfo(zone)) for at in (window.opens_at, window.closes_at)]
    assert [(at.date(), at.time()) for at in local] == [
        (day, time(17, 0)),
        (day + 3 * DAY, time(20, 0)),
    ]
    assert window.closes_at - window.opens_at == timedelta(hours=hours)


# Beside one another -----------------------------------------------------------


def long_one(club: Club, **fields: object) -> Series:
    """A club night's series: opens on Fridays at 17:00, closes on Mondays at 20:00."""
    rule = {"weekdays": [4], "opens": time(17, 0), "closes": time(20, 0), "days_later": 3}
    return club.series.create(**{"kind": Kind.CLUB_NIGHT, **rule, **fields})


pytestmark = pytest.mark.django_db


def days_of(one: Series) -> list[date]:
    return list(ScrambleSet.objects.filter(series=one).values_list("day", flat=True))


def test_a_club_begins_with_one_series_its_daily_set(club: Club) -> None:
    first = club.first_series
    assert list(club.series.all()) == [first]
    assert (first.kind, first.weekdays, first.scrambles) == ("daily", list(range(7)), 5)
    club.save()
    assert club.series.count() == 1


def test_series_issue_side_by_side_and_once_each(club: Club) -> None:
    late = long_one(club, weekdays=[2], scrambles=3, spare=False)
    for _ in range(3):
        issue_due(drawer=DRAWERS.daily, now=NOON)
    assert days_of(club.first_series) == [TODAY, TODAY + DAY]
    assert days_of(late) == [TODAY]
    made = ScrambleSet.objects.get(series=late)
    assert (made.kind, made.scrambles.count(), made.spare) == (Kind.CLUB_NIGHT, 3, "")
    assert made.closes_at == datetime(2026, 11, 28, 19, 0, tzinfo=UTC)


def test_a_long_set_is_issued_while_it_is_open_after_days_without_power(club: Club) -> None:
    one = long_one(club)
    issue_due(drawer=DRAWERS.daily, now=NOON + 4 * DAY)  # Sunday; nothing ran since before Friday.
    assert days_of(one) == [FRIDAY]
    issue_due(drawer=DRAWERS.daily, now=NOON + 20 * DAY)  # Tuesday: the third has closed meanwhile.
    assert days_of(one) == [FRIDAY]


def test_one_series_trouble_does_not_keep_another_from_its_set(
    club: Club, caplog: pytest.LogCaptureFixture
) -> None:
    broken = long_one(club, weekdays=[2], club_rules=False, colours=[None])
    asked = []

    def drawer(count: int) -> object:
        asked.append(count)
        if len(asked) == 1:
            raise ZeroDivisionError
        return DRAWERS.daily(count)

    issue_due(drawer=drawer, now=NOON)  # type: ignore[arg-type]
    assert "No set could be issued for series" in caplog.text
    assert ScrambleSet.objects.count() == 2
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert days_of(club.first_series) == [TODAY, TODAY + DAY]
    assert days_of(broken) == [TODAY]


def test_a_set_goes_by_the_rules_of_its_club_or_of_its_series(club: Club) -> None:
    by_club = long_one(club, weekdays=[2], colours=["red"])
    of_own = long_one(club, weekdays=[2], colours=["red"], club_rules=False)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert ScrambleSet.objects.get(series=by_club).colours == ["yellow"]
    assert ScrambleSet.objects.get(series=of_own).colours == ["red"]


def test_a_day_of_a_series_is_left_out_moved_or_held_at_another_time(club: Club) -> None:
    daily = club.first_series
    daily.other_days.create(day=TODAY)
    night = long_one(club)
    night.other_days.create(day=FRIDAY, held_on=TODAY, opens=time(18, 0))
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert days_of(daily) == [TODAY + DAY]
    moved = ScrambleSet.objects.get(series=night)
    assert moved.day == TODAY
    assert moved.opens_at == datetime(2026, 11, 25, 17, 0, tzinfo=UTC)
    issue_due(drawer=DRAWERS.daily, now=NOON + 2 * DAY)
    assert days_of(night) == [TODAY]


def test_a_day_off_is_off_for_every_series(club: Club) -> None:
    late = long_one(club, weekdays=[2])
    DayOff.objects.create(club=club, day=TODAY)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert days_of(late) == []
    assert days_of(club.first_series) == [TODAY + DAY]


def test_a_set_of_a_single_day_is_a_series_of_that_day(club: Club) -> None:
    once = long_one(club, only_on=TODAY, days_later=0)
    for day in range(-2, 9):
        issue_due(drawer=DRAWERS.daily, now=NOON + day * DAY)
    assert days_of(once) == [TODAY]


def test_other_days_or_hours_hold_from_today_on(club: Club, coach) -> None:
    night = long_one(club)
    issue_due(drawer=DRAWERS.daily, now=NOON)
    # By the new weekday a set would have opened on Monday and still be open.
    changed = series.change_series(by=coach, series=night, changes={"weekdays": [0, 4]}, now=NOON)
    assert changed.begins_on == TODAY
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert days_of(night) == []
    issue_due(drawer=DRAWERS.daily, now=NOON + 5 * DAY)
    assert days_of(night) == [FRIDAY, FRIDAY + 3 * DAY]


def test_stopped_it_issues_nothing_and_an_open_set_runs_on(club: Club, coach) -> None:
    daily = club.first_series
    issue_due(drawer=DRAWERS.daily, now=NOON)
    series.stop_series(by=coach, series=daily, now=NOON)
    for day in range(3):
        issue_due(drawer=DRAWERS.daily, now=NOON + day * DAY)
    assert days_of(daily) == [TODAY]
    series.go_on(by=coach, series=daily, now=NOON + 3 * DAY)
    issue_due(drawer=DRAWERS.daily, now=NOON + 3 * DAY)
    assert days_of(daily) == [TODAY, TODAY + 3 * DAY, TODAY + 4 * DAY]


def test_a_new_series_begins_today_at_the_earliest_and_for_groups_of_the_club(
    club: Club, other_club: Club, coach, member
) -> None:
    starters = Group.objects.create(club=club, name="Starters")
    foreign = Group.objects.create(club=other_club, name="Starters")
    settings = {"kind": "club_night", "weekdays": [2], "opens": time(9, 0), "closes": time(20, 0)}
    start = {"by": coach, "settings": settings, "now": NOON}
    with pytest.raises(refusals.InvalidEntry, match="today at the earliest"):
        series.start_series(**start, begins_on=TODAY - DAY)
    with pytest.raises(refusals.InvalidEntry, match="groups"):
        series.start_series(**start, begins_on=TODAY, groups=[foreign])
    with pytest.raises(refusals.NotAllowed):
        series.start_series(**{**start, "by": member}, begins_on=TODAY)
    assert club.series.count() == 1
    made = series.start_series(**start, begins_on=TODAY + DAY, groups=[starters])
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert days_of(made) == []
    assert list(made.groups.all()) == [starters]


def test_coaches_of_another_club_change_nothing(club: Club, outsider) -> None:
    for act in (series.stop_series, series.go_on):
        with pytest.raises(refusals.NotAllowed):
            act(by=outsider, series=club.first_series, now=NOON)
    with pytest.raises(refusals.NotAllowed):
        series.change_series(by=outsider, series=club.first_series, changes={"opens": time(9, 0)})


def test_a_day_off_takes_out_all_that_is_open_on_it(club: Club, coach) -> None:
    long_one(club, weekdays=[2], opens=time(9, 0))
    issue_due(drawer=DRAWERS.daily, now=NOON)
    clubs.add_day_off(by=coach, day=TODAY, take_out=True, now=NOON)
    assert list(ScrambleSet.objects.filter(day=TODAY).values_list("taken_out", flat=True)) == [
        True,
        True,
    ]


def test_two_other_days_of_a_series_never_fall_on_one(club: Club) -> None:
    from django.db import IntegrityError

    night = long_one(club)
    OtherDay.objects.create(series=night, day=FRIDAY, held_on=TODAY)
    with pytest.raises(IntegrityError):
        OtherDay.objects.create(series=night, day=FRIDAY + 7 * DAY, held_on=TODAY)


def test_a_series_of_challenges_announces_them_also_late(club: Club) -> None:
    one = long_one(club, kind=Kind.CHALLENGE, weekdays=[3], table_to="closing", club_rules=False)
    for _ in range(2):
        periodic.tick(drawers=DRAWERS, now=NOON)
    made = ScrambleSet.objects.get(series=one)
    assert (made.day, made.scrambles.count(), bool(made.spare)) == (TODAY + DAY, 5, True)
    assert made.challenge.announced_at == NOON
    # Nothing ran from then until the next one was open for a day.
    periodic.tick(drawers=DRAWERS, now=NOON + 9 * DAY)
    assert days_of(one) == [TODAY + DAY, TODAY + 8 * DAY]
    assert ScrambleSet.objects.filter(series=one, challenge__isnull=False).count() == 2
