"""Who improved: on the coach's day, and on my progress, with what it rests on."""

from __future__ import annotations

from datetime import timedelta

from tests.conftest import NOON, Given, make_membership
from tests.history import BASE_TURN, past
from tests.web.conftest import ROOT, reader_for, seen
from training.models import Club, Membership

OWN = f"{ROOT}/progress/"


def test_who_improved_most_and_what_that_rests_on(
    given: Given, club: Club, coach: Membership, member: Membership
) -> None:
    """Ines answers nothing for eight weeks and all of it in the last four."""
    other = make_membership(club, "M0")
    for weeks in range(12):
        opens = NOON - timedelta(weeks=weeks, days=8, hours=13)
        a_set = given.a_set(
            opens=opens, closes=opens + timedelta(days=1), scrambles=(BASE_TURN[0],) * 3
        )
        past(given, member, a_set, *[BASE_TURN[1 if weeks < 4 else 2]] * 3)
        past(given, other, a_set, *[BASE_TURN[2]] * 3)
    said = seen(reader_for(coach).get(f"{ROOT}/coach/"))
    line = "base turn : answered 0 of 24 before, 12 of 12 in the last weeks."
    assert f"Improved most Ines , {line}" in said
    assert "The 4 weeks up to Monday 23 November against the 8 weeks before them" in said
    own = seen(reader_for(member).get(OWN))
    assert "Better than before Base turn: likely improved . Answered 0 of 24 before" in own
    assert "M0" not in own
    assert "Better than before" not in seen(reader_for(other).get(OWN))


def test_where_nobody_improved_it_says_so(coach: Membership, member: Membership) -> None:
    said = seen(reader_for(coach).get(f"{ROOT}/coach/"))
    assert "No change for the better stands out of chance in the last weeks." in said
