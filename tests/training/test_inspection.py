"""Times of inspection, their doubt, and what follows from them.

Source of the limits: WCA Regulations, January 1, 2024, articles A3a1, A3b and A4d.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given as examples
from hypothesis import strategies as st

from tests.conftest import NOON
from training.inspection import (
    CALLS,
    LATE_FROM,
    LONGEST_TRIP,
    SECONDS,
    UNTIMED,
    Inspected,
    charges_the_cap,
    inspected,
)
from training.rules import Timing


def taken(seconds: float, *, begun: int | None = 0, ended: int | None = 0, **other) -> Inspected:
    chosen = {"timed": True, "second_look": False} | other
    end = NOON + timedelta(seconds=seconds)
    return inspected(begun_at=NOON, begun_trip=begun, ended_at=end, ended_trip=ended, **chosen)


def test_the_limits_are_those_of_the_regulations() -> None:
    # A3a1, A3b, A4d.
    assert (SECONDS, CALLS, LATE_FROM) == (15, (8, 12), 17)


@pytest.mark.parametrize(
    ("seconds", "over", "late"),
    [
        (14.999, False, False),
        (15, True, False),  # A4d: from 15 seconds on
        (16.999, True, False),
        (17, True, True),  # A4d: from 17 seconds on
        (900, True, True),
    ],
)
def test_over_and_late_begin_where_the_regulations_say(seconds, over, late) -> None:
    one = taken(seconds)
    assert (one.over, one.late, one.in_time) == (over, late, not late)


def test_nothing_is_said_against_a_member_that_the_line_may_have_done() -> None:
    # The last request took 0.3 seconds: the tap can have come at 16.8.
    assert not taken(17.1, ended=300).late
    assert taken(17.1, ended=300).over
    assert taken(17.1, ended=100).late
    # That the first one was slow can only have made it longer.
    assert taken(17.1, begun=3000, ended=100).late


@examples(
    truth=st.integers(0, 40_000),
    begun=st.integers(0, LONGEST_TRIP),
    ended=st.integers(0, LONGEST_TRIP),
    first=st.floats(0, 1),
    second=st.floats(0, 1),
)
def test_the_true_time_lies_within_the_doubt(truth, begun, ended, first, second) -> None:
    # However the two trips are shared out between there and back.
    up, down = int(begun * first), int(ended * second)
    one = taken((truth + down - up) / 1000, begun=begun, ended=ended)
    if truth + down < up:
        assert not one.timed
        return
    assert one.taken is not None
    assert one.least is not None
    assert one.least <= truth <= one.taken + one.longer
    assert abs(one.taken - truth) <= one.doubt
    assert not (one.late and truth < 17_000)
    assert not (one.over and truth < 15_000)


@pytest.mark.parametrize(
    "one",
    [
        taken(10, timed=False),
        taken(10, begun=None),
        taken(10, begun=LONGEST_TRIP + 1),
        taken(10, ended=LONGEST_TRIP + 1),
        taken(-1),
        inspected(
            timed=True,
            begun_at=NOON,
            begun_trip=20,
            ended_at=None,
            ended_trip=None,
            second_look=False,
        ),
    ],
    ids=["own time", "no trip told", "slow begin", "slow end", "clock set back", "no end"],
)
def test_what_nobody_knows_is_untimed(one) -> None:
    assert (one.timed, one.in_time, one.over, one.late) == (False,) * 4
    assert one == UNTIMED


def test_an_end_of_which_the_trip_is_not_told_is_read_in_the_members_favour() -> None:
    assert not taken(19.9, ended=None).late
    assert taken(20, ended=None).late
    assert taken(10, ended=None).doubt == LONGEST_TRIP


def test_a_second_look_is_kept_and_never_in_time() -> None:
    one = taken(10, second_look=True)
    assert (one.timed, one.second_look, one.in_time) == (True, True, False)
    assert taken(10, timed=False, second_look=True).second_look


def test_only_a_set_that_is_timed_only_charges_for_time() -> None:
    late, looked, fine = taken(18), taken(10, second_look=True), taken(16)
    for one in (late, looked, UNTIMED):
        assert charges_the_cap(Timing.TIMED, one)
        assert not charges_the_cap(Timing.EITHER, one)
        assert not charges_the_cap(Timing.UNTIMED, one)
    assert not charges_the_cap(Timing.TIMED, fine)
