"""The states of a challenge at every second of their borders, over changes of clocks.

When clocks change: the IANA time zone database (Europe/Oslo goes back on 25 October 2026 at 3:00,
Africa/Cairo forward on 24 April 2026 at midnight, Australia/Sydney back on 5 April 2026 at 3:00 and
forward on 4 October 2026 at 2:00). The states are the club's own rule.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from training import clock
from training.challenge_states import (
    STAGES,
    Asked,
    Course,
    Stage,
    checked_at,
    ends_by_itself,
    reached,
)

SECOND = timedelta(seconds=1)
HOUR = timedelta(hours=1)
OSLO, CAIRO = ZoneInfo("Europe/Oslo"), ZoneInfo("Africa/Cairo")
SYDNEY = ZoneInfo("Australia/Sydney")


def course_over(zone: ZoneInfo, opens: date, closes: date, at: time, **more: object) -> Course:
    """From the evening of one day to that of another, on the club's own clock."""
    opens_at = clock.local_to_utc(opens, at, zone)
    closes_at = clock.local_to_utc(closes, at, zone, "closing")
    return Course(
        announced_at=opens_at - timedelta(days=2),
        opens_at=opens_at,
        closes_at=closes_at,
        question_time=48 * HOUR,
        **more,
    )


OVER_CHANGES = {
    "clocks back while it is open": course_over(
        OSLO, date(2026, 10, 23), date(2026, 10, 25), time(20)
    ),
    "closes in the hour that comes twice": course_over(
        OSLO, date(2026, 10, 23), date(2026, 10, 25), time(2, 30)
    ),
    "clocks back while members ask": course_over(
        OSLO, date(2026, 10, 20), date(2026, 10, 24), time(20)
    ),
    "opens in the hour that is not there": course_over(
        CAIRO, date(2026, 4, 24), date(2026, 4, 26), time(0, 30)
    ),
    "closes at a midnight that is not there": course_over(
        CAIRO, date(2026, 4, 22), date(2026, 4, 24), time(0)
    ),
    "south: clocks back while it is open": course_over(
        SYDNEY, date(2026, 4, 3), date(2026, 4, 5), time(20)
    ),
    "south: closes in the hour that comes twice": course_over(
        SYDNEY, date(2026, 4, 3), date(2026, 4, 5), time(2, 30)
    ),
    "south: opens in the hour that is not there": course_over(
        SYDNEY, date(2026, 10, 4), date(2026, 10, 6), time(2, 30)
    ),
    "south: clocks forward while members ask": course_over(
        SYDNEY, date(2026, 9, 30), date(2026, 10, 3), time(20)
    ),
}


@pytest.mark.parametrize("name", OVER_CHANGES)
def test_every_second_of_every_border(name: str) -> None:
    begun = OVER_CHANGES[name]
    checked = begun.closes_at + timedelta(minutes=7)
    course = Course(
        **{one: getattr(begun, one) for one in Course.__slots__} | {"checked_at": checked}
    )
    stands = checked + 48 * HOUR
    posted = stands + 3 * HOUR
    course = Course(
        **{one: getattr(course, one) for one in Course.__slots__} | {"posted_at": posted}
    )
    borders = [
        (course.announced_at, Stage.NOT_YET, Stage.ANNOUNCED),
        (course.opens_at, Stage.ANNOUNCED, Stage.OPEN),
        (course.closes_at, Stage.OPEN, Stage.CHECKING),
        (checked, Stage.CHECKING, Stage.QUESTIONS),
        (stands, Stage.QUESTIONS, Stage.CONFIRMED),
        (posted, Stage.CONFIRMED, Stage.POSTED),
    ]
    for border, before, after in borders:
        for second in range(-90, 91):
            now = border + second * SECOND
            expected = before if second < 0 else after
            assert reached(course, now).stage == expected, (border, second)
    # Forty-eight hours are hours that pass, whatever the clocks on the wall show.
    assert reached(course, stands).confirmed_at == stands


def test_the_clock_on_the_wall_when_clocks_go_back() -> None:
    course = OVER_CHANGES["clocks back while members ask"]
    ends = course.closes_at + course.question_time
    assert course.closes_at.astimezone(OSLO).isoformat() == "2026-10-24T20:00:00+02:00"
    assert ends.astimezone(OSLO).isoformat() == "2026-10-26T19:00:00+01:00"


def test_the_clock_on_the_wall_in_the_south() -> None:
    """There clocks go forward in October and back in April."""
    asking = OVER_CHANGES["south: clocks forward while members ask"]
    ends = asking.closes_at + asking.question_time
    assert asking.closes_at.astimezone(SYDNEY).isoformat() == "2026-10-03T20:00:00+10:00"
    assert ends.astimezone(SYDNEY).isoformat() == "2026-10-05T21:00:00+11:00"
    twice = OVER_CHANGES["south: closes in the hour that comes twice"]
    # The later of the two: nobody loses the hour.
    assert twice.closes_at.astimezone(SYDNEY).isoformat() == "2026-04-05T02:30:00+10:00"


def test_each_state_says_since_when_and_what_comes() -> None:
    course = OVER_CHANGES["clocks back while it is open"]
    announced = reached(course, course.announced_at)
    assert (announced.since, announced.until) == (course.announced_at, course.opens_at)
    closed = reached(course, course.closes_at)
    assert (closed.stage, closed.since, closed.until) == (Stage.CHECKING, course.closes_at, None)


def asked_at(course: Course, *asked: Asked, **more: object) -> Course:
    fields = {one: getattr(course, one) for one in Course.__slots__}
    return Course(**fields | {"asked": asked, "checked_at": course.closes_at} | more)


def test_an_open_question_holds_the_result_and_its_answer_lets_it_stand() -> None:
    plain = OVER_CHANGES["clocks back while it is open"]
    end = plain.closes_at + plain.question_time
    answered = end + 5 * HOUR
    course = asked_at(plain, Asked(end - HOUR, answered))
    waits = reached(course, end)
    assert (waits.stage, waits.open_questions, waits.until) == (Stage.QUESTIONS, 1, None)
    assert reached(course, answered - SECOND).stage == Stage.QUESTIONS
    stands = reached(course, answered)
    assert (stands.stage, stands.confirmed_at) == (Stage.CONFIRMED, answered)
    assert ends_by_itself(asked_at(plain, Asked(end - HOUR))) is None
    late = asked_at(plain, Asked(end))
    assert reached(late, end + HOUR).stage == Stage.CONFIRMED


def test_a_coach_confirms_earlier_and_what_is_noted_stays() -> None:
    plain = OVER_CHANGES["clocks back while it is open"]
    early = plain.closes_at + HOUR
    course = asked_at(plain, confirmed_at=early)
    assert reached(course, early - SECOND).stage == Stage.QUESTIONS
    assert reached(course, early).confirmed_at == early


def test_a_set_taken_out_is_in_none_of_the_states() -> None:
    out = asked_at(OVER_CHANGES["clocks back while it is open"], taken_out=True)
    assert reached(out, out.closes_at).stage == Stage.OUT


def test_when_all_is_checked() -> None:
    closes = OVER_CHANGES["clocks back while it is open"].closes_at
    assert checked_at(closes, True, [closes]) is None
    assert checked_at(closes, False, []) == closes
    assert checked_at(closes, False, [closes - HOUR, None, closes + HOUR]) == closes + HOUR


hours = st.integers(0, 400)


@given(
    checked=st.none() | hours,
    asked=st.lists(st.tuples(hours, st.none() | hours), max_size=4),
    confirmed=st.none() | hours,
    posted=st.none() | hours,
)
def test_no_state_comes_back(
    checked: int | None,
    asked: list[tuple[int, int | None]],
    confirmed: int | None,
    posted: int | None,
) -> None:
    """Once a later state is reached, no earlier one is, whatever was asked and answered when."""
    plain = OVER_CHANGES["clocks back while it is open"]

    def at(hour: int | None) -> datetime | None:
        return None if hour is None else plain.closes_at + hour * HOUR

    begun = at(checked)
    course = asked_at(
        plain,
        *(
            Asked(at(one), None if wait is None else at(one + wait))  # type: ignore[arg-type]
            for one, wait in asked
        ),
        checked_at=begun,
        # Nobody confirms before all is checked, and nobody posts before that.
        confirmed_at=None if begun is None or confirmed is None else begun + confirmed * HOUR,
        posted_at=None
        if begun is None or confirmed is None or posted is None
        else begun + (confirmed + posted) * HOUR,
    )
    stages = [
        STAGES.index(reached(course, plain.announced_at + step * 3 * HOUR).stage)
        for step in range(400)
    ]
    assert stages == sorted(stages)
