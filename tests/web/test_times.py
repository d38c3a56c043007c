"""Times as a person says them."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from training.web.saying.times import say

OSLO = ZoneInfo("Europe/Oslo")
NOW = datetime(2026, 11, 25, 11, 0, tzinfo=UTC)  # Wednesday noon in Oslo


def at(day: int, hour: int, minute: int = 0, month: int = 11, year: int = 2026) -> datetime:
    return datetime(year, month, day, hour, minute, tzinfo=OSLO)


@pytest.mark.parametrize(
    ("instant", "words"),
    [
        (at(25, 20), "today at 20:00"),
        (at(25, 8, 5), "today at 08:05"),
        (at(26, 0), "tonight at midnight"),
        (at(25, 0), "at midnight"),
        (at(27, 0), "tomorrow at midnight"),
        (at(24, 0), "on Monday 23 November at midnight"),
        (at(24, 20), "yesterday at 20:00"),
        (at(26, 7), "tomorrow at 07:00"),
        (at(28, 9), "on Saturday at 09:00"),
        (at(2, 9, month=12), "on Wednesday 2 December at 09:00"),
        (at(20, 18, 30), "on Friday 20 November at 18:30"),
        (at(3, 10, month=1, year=2027), "on Sunday 3 January 2027 at 10:00"),
    ],
)
def test_words_for_times_around_now(instant: datetime, words: str) -> None:
    assert say(instant, NOW, OSLO).text == words


def test_the_zone_of_the_club_decides() -> None:
    tokyo = say(at(25, 20), NOW, ZoneInfo("Asia/Tokyo"))
    assert tokyo.text == "tomorrow at 04:00"
    assert "Asia/Tokyo" in tokyo.exact


@given(st.datetimes(datetime(2024, 1, 1), datetime(2030, 1, 1), timezones=st.just(UTC)))
def test_the_exact_time_goes_along_in_utc(instant: datetime) -> None:
    said = say(instant, NOW, OSLO)
    assert datetime.fromisoformat(said.iso) == instant.replace(microsecond=0)
    assert str(instant.astimezone(OSLO).year) in said.exact
