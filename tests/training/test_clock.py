"""The club's clock, against the time zone database itself (IANA tz, by zoneinfo)."""

from __future__ import annotations

import zoneinfo
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from training import clock

ZONES = [
    "Africa/Cairo",
    "America/Havana",
    "America/New_York",
    "America/Santiago",
    "America/St_Johns",
    "Asia/Beirut",
    "Asia/Kathmandu",
    "Asia/Tokyo",
    "Atlantic/Azores",
    "Australia/Lord_Howe",
    "Europe/Dublin",
    "Europe/Oslo",
    "Pacific/Apia",
    "Pacific/Chatham",
    "UTC",
]
DAYS = st.dates(date(2024, 1, 1), date(2030, 12, 30))


@pytest.mark.parametrize(
    ("zone", "day"),
    # Days without a midnight, from the tz database, each in its rules for 2026.
    [
        ("Africa/Cairo", date(2026, 4, 24)),
        ("Asia/Beirut", date(2026, 3, 29)),
        ("America/Santiago", date(2026, 9, 6)),
    ],
)
def test_a_day_without_midnight_begins_at_the_first_moment_that_exists(
    zone: str, day: date
) -> None:
    opens = clock.local_to_utc(day, clock.MIDNIGHT, ZoneInfo(zone))
    there = opens.astimezone(ZoneInfo(zone))
    just_before = (opens - timedelta(seconds=1)).astimezone(ZoneInfo(zone))
    assert there.date() == day
    assert there.time() == time(1, 0)
    assert just_before.date() == day - timedelta(days=1)


def test_a_time_that_comes_twice_opens_at_the_first_and_closes_at_the_second() -> None:
    oslo, day = ZoneInfo("Europe/Oslo"), date(2026, 10, 25)
    opening = clock.local_to_utc(day, time(2, 30), oslo, "opening")
    closing = clock.local_to_utc(day, time(2, 30), oslo, "closing")
    assert opening == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert closing == datetime(2026, 10, 25, 1, 30, tzinfo=UTC)


@settings(max_examples=300)
@given(zone=st.sampled_from(ZONES), day=DAYS)
def test_days_from_midnight_to_midnight_neither_overlap_nor_leave_holes(
    zone: str, day: date
) -> None:
    here = ZoneInfo(zone)
    today = clock.window_of_day(day, clock.MIDNIGHT, clock.MIDNIGHT, here)
    tomorrow = clock.window_of_day(day + timedelta(days=1), clock.MIDNIGHT, clock.MIDNIGHT, here)
    assert today.opens_at < today.closes_at == tomorrow.opens_at
    assert clock.closing_day(today.closes_at, here) == day


def test_every_day_of_every_zone_with_a_change_at_midnight_is_whole() -> None:
    for zone in ("Africa/Cairo", "Asia/Beirut", "America/Santiago", "America/Havana"):
        here, day = ZoneInfo(zone), date(2024, 1, 1)
        previous = clock.window_of_day(day, clock.MIDNIGHT, clock.MIDNIGHT, here)
        while day < date(2030, 12, 31):
            day += timedelta(days=1)
            window = clock.window_of_day(day, clock.MIDNIGHT, clock.MIDNIGHT, here)
            assert previous.closes_at == window.opens_at, (zone, day)
            assert timedelta(hours=22) < window.closes_at - window.opens_at < timedelta(hours=26)
            previous = window


@settings(max_examples=300)
@given(
    zone=st.sampled_from(ZONES),
    day=DAYS,
    opens=st.times(),
    closes=st.times(),
)
def test_every_window_closes_after_it_opens(
    zone: str, day: date, opens: time, closes: time
) -> None:
    window = clock.window_of_day(
        day,
        opens.replace(second=0, microsecond=0),
        closes.replace(second=0, microsecond=0),
        ZoneInfo(zone),
    )
    assert window.opens_at < window.closes_at <= window.opens_at + timedelta(hours=27)


@settings(max_examples=200)
@given(zone=st.sampled_from(ZONES), day=DAYS, at=st.times())
def test_a_time_that_exists_reads_the_same_on_the_clocks_of_the_zone(
    zone: str, day: date, at: time
) -> None:
    at = at.replace(microsecond=0)
    there = clock.local_to_utc(day, at, ZoneInfo(zone)).astimezone(ZoneInfo(zone))
    naive = datetime.combine(day, at)
    exists = (
        naive.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC).astimezone(ZoneInfo(zone))
    ).replace(tzinfo=None) == naive
    assert (there.replace(tzinfo=None) == naive) == exists


def test_a_set_that_closes_at_midnight_belongs_to_the_day_that_ends() -> None:
    oslo = ZoneInfo("Europe/Oslo")
    sunday = clock.window_of_day(date(2026, 11, 29), clock.MIDNIGHT, clock.MIDNIGHT, oslo)
    assert clock.closing_day(sunday.closes_at, oslo) == date(2026, 11, 29)
    assert clock.week_of(clock.closing_day(sunday.closes_at, oslo)) == date(2026, 11, 23)


def test_zone_names_are_those_of_the_database() -> None:
    assert set(ZONES) < set(clock.zones()) < zoneinfo.available_timezones()
    assert "Europe/Atlantis" not in clock.zones()
    assert zoneinfo.available_timezones() >= set(ZONES)
