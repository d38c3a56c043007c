"""The planner's pages: without JavaScript, said in words before it is saved, never overwritten."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest

from solverworker.tasks import DRAWERS
from tests.conftest import NOON, Given, make_membership
from tests.web.conftest import ROOT, Reader, reader_for, words
from training.models import Club, DayOff, Kind, Membership, OtherDay, Role, Series
from training.services import clubs
from training.services.issuing import issue_due

pytestmark = pytest.mark.django_db

WEEK = f"{ROOT}/coach/week/"
FRIDAY = date(2026, 11, 27)
NIGHT = {
    "kind": "club_night",
    "opens": "18:00",
    "closes": "20:00",
    "days_later": "0",
    "scrambles": "3",
    "colours": ["white", "red"],
}


@pytest.fixture(autouse=True)
def _at_noon(clock: Callable[[datetime], None]) -> None:
    """All of it happens on a Wednesday at noon."""


@pytest.fixture
def reader(coach: Membership) -> Reader:
    return reader_for(coach)


def version(page: str) -> str:
    found = re.search(r'name="version" value="([0-9a-f]+)"', page)
    assert found is not None
    return found[1]


def test_a_week_has_seven_days_and_what_falls_on_them(reader: Reader, club: Club) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    clubs.add_day_off(by=Membership.objects.get(), day=date(2026, 11, 29), reason="fair", now=NOON)
    said = words(reader.get(WEEK))
    assert "This week: 4 daily sets" in said
    assert "Week 48, from 23 November" in said
    assert "Daily set the whole day has opened" in said
    assert "5 crosses, yellow" in said
    assert "Day off: fair" in said
    assert "Sunday 29 November is a day off: no set, so it costs nobody anything." in said
    assert "Next week: 7 daily sets" in words(reader.get(f"{WEEK}2026-12-02/"))


def test_a_set_more_is_read_back_in_words_and_then_planned(reader: Reader, club: Club) -> None:
    page = f"{WEEK}{FRIDAY}/add/"
    sent = NIGHT | {"version": version(reader.get(page))}
    told = words(reader.post(page, sent | {"do": "look"}))
    assert (
        "Club night with 3 crosses: opens on Friday 27 November at 18:00, closes on "
        "Friday 27 November at 20:00." in told
    )
    assert Series.objects.count() == 1
    reader.post(page, sent | {"do": "keep"}, status=302)
    made = Series.objects.get(only_on=FRIDAY)
    assert (made.kind, made.colours, made.club_rules) == (Kind.CLUB_NIGHT, ["white", "red"], False)
    said = words(reader.get(WEEK))
    assert "Club night 18:00 to 20:00 3 crosses, white and red" in said
    assert "Friday 27 November has one set more: Club night." in said


def test_lengths_timing_and_hold_of_a_set_more_are_read_back(reader: Reader, club: Club) -> None:
    page = f"{WEEK}{FRIDAY}/add/"
    sent = NIGHT | {"version": version(reader.get(page)), "timing": "timed", "held": "free"}
    told = words(reader.post(page, sent | {"shortest": "2", "longest": "4", "do": "look"}))
    assert (
        "Picked, of 2 to 4 moves. Inspection: timed only, 15 seconds. How the cube is held: as "
        "each member likes. All other sets stay as they are." in told
    )
    one_alone = sent | {"shortest": "3", "longest": "", "do": "keep"}
    assert "Give both lengths" in words(reader.post(page, one_alone, status=400))
    reader.post(page, sent | {"shortest": "2", "longest": "4", "do": "keep"}, status=302)
    made = Series.objects.get(only_on=FRIDAY)
    assert (made.lengths, made.timing, made.held) == ((2, 4), "timed", "free")
    # Its own page says the same, in the words of its choices.
    own = f"{ROOT}/settings/series/{made.pk}/"
    said = words(reader.get(own))
    assert "Picked, of 2 to 4 moves. Inspection: timed only, 15 seconds." in said
    assert "timed or untimed timed only, 15 seconds untimed" in said
    # Of random crosses nothing is said of lengths.
    assert "Picked" not in words(reader.post(page, sent | {"do": "look"}))


def test_with_the_clubs_colours_it_goes_by_the_clubs_rules(reader: Reader, club: Club) -> None:
    page = f"{WEEK}{FRIDAY}/add/"
    sent = NIGHT | {"version": version(reader.get(page)), "colours": ["yellow"], "do": "keep"}
    reader.post(page, sent, status=302)
    assert Series.objects.get(only_on=FRIDAY).club_rules


def test_a_set_is_moved_left_out_and_put_back(reader: Reader, club: Club) -> None:
    night = club.series.create(kind=Kind.CLUB_NIGHT, weekdays=[4], opens="18:00", closes="20:00")
    page = f"{WEEK}{FRIDAY}/{night.pk}/"
    first = reader.get(page)
    assert 'value="18:00"' in first
    sent = {"version": version(first), "to_day": "2026-11-28", "opens": "10:00", "closes": "12:00"}
    told = words(reader.post(page, sent | {"do": "look"}))
    assert "Club night: opens on Saturday 28 November at 10:00, closes at 12:00." in told
    assert not OtherDay.objects.exists()
    reader.post(page, sent | {"do": "move"}, status=302)
    said = words(reader.get(WEEK))
    assert "Club night: moved to Saturday" in said
    assert "Club night of Friday 27 November is held on Saturday 28 November." in said
    away = reader.get(page)
    reader.post(page, {"version": version(away), "do": "put_back"}, status=302)
    there = reader.get(page)
    reader.post(page, {"version": version(there), "do": "leave_out"}, status=302)
    assert "Club night of Friday 27 November: left out." in words(reader.get(WEEK))


def test_what_has_opened_leads_to_corrections(reader: Reader, club: Club) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    page = f"{WEEK}2026-11-25/{club.first_series.pk}/"
    there = reader.get(page)
    assert "has opened, so the plan does not change it any more" in words(there)
    assert re.search(rf'href="{ROOT}/coach/sets/\d+/correct/"', there)
    assert 'value="leave_out"' not in there
    seen = version(reader.get(f"{WEEK}2026-11-25/add/"))
    for doing, status in (("leave_out", 409), ("put_back", 400)):
        reader.post(page, {"version": seen, "do": doing}, status=status)
    assert not OtherDay.objects.exists()


def test_two_browsers_never_overwrite_each_other(
    reader: Reader, club: Club, owner: Membership
) -> None:
    page = f"{WEEK}{FRIDAY}/add/"
    mine, theirs = version(reader.get(page)), version(reader_for(owner).get(page))
    assert mine == theirs
    reader_for(owner).post(page, NIGHT | {"version": theirs, "do": "keep"}, status=302)
    refused = reader.post(page, NIGHT | {"version": mine, "do": "keep"}, status=409)
    said = words(refused)
    assert "This week has been changed meanwhile, so nothing of yours was stored." in said
    assert "Club night 18:00 to 20:00" in said, "what is there now stands beside it"
    assert Series.objects.filter(only_on=FRIDAY).count() == 1
    # What was typed is still there, and goes through by the week as it is now.
    assert 'value="18:00"' in refused
    reader.post(page, NIGHT | {"version": version(refused), "do": "keep"}, status=302)
    assert Series.objects.filter(only_on=FRIDAY).count() == 2
    reader.post(page, {"version": mine, "do": "off", "reason": ""}, status=409)
    assert not DayOff.objects.exists()


def test_a_day_off_and_back(reader: Reader, club: Club) -> None:
    page = f"{WEEK}{FRIDAY}/add/"
    sent = {"version": version(reader.get(page)), "do": "off", "reason": "fair"}
    reader.post(page, sent, status=302)
    assert DayOff.objects.get().reason == "fair"
    reader.post(page, {"version": version(reader.get(page)), "do": "on"}, status=302)
    assert not DayOff.objects.exists()


def test_holidays_are_read_back_before_they_are_stored(reader: Reader) -> None:
    page = f"{ROOT}/coach/holidays/"
    text = "2026-12-19 to 2027-01-03\n24.12.2026\n\n2027-01-08"
    told = words(reader.post(page, {"do": "look", "text": text, "reason": "winter"}))
    assert "Saturday 19 December to Sunday 3 January 2027, 16 days" in told
    assert "Friday 8 January 2027" in told
    assert not DayOff.objects.exists()
    reader.post(page, {"do": "keep", "text": text, "reason": "winter"}, status=302)
    assert DayOff.objects.count() == 17
    assert DayOff.objects.filter(reason="winter").count() == 17


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2026-12-24\nChristmas", "Line 2, “Christmas”, is no date."),
        ("2026-02-30", "Line 1, “2026-02-30”, is no date."),
        ("2026-12-24 2026-12-25", "Line 1, “2026-12-24 2026-12-25”, is no date."),
        ("2027-01-03 to 2026-12-19", "a range goes from the earlier day to the later"),
        ("2026-11-02", "That day is over."),
        ("", "Write at least one date."),
    ],
)
def test_what_is_no_date_is_told_by_its_line(reader: Reader, text: str, said: str) -> None:
    page = reader.post(f"{ROOT}/coach/holidays/", {"do": "look", "text": text}, status=400)
    assert said in words(page)


def test_last_week_is_copied_as_it_is_told(reader: Reader, club: Club) -> None:
    page = f"{WEEK}{FRIDAY}/add/"
    reader.post(page, NIGHT | {"version": version(reader.get(page)), "do": "keep"}, status=302)
    copies = f"{WEEK}2026-12-02/copy/"
    there = reader.get(copies)
    assert "Friday 4 December: Club night, opens at 18:00." in words(there)
    reader.post(copies, {"version": version(there), "do": "keep"}, status=302)
    assert Series.objects.filter(only_on=date(2026, 12, 4)).exists()
    assert "Nothing was done by hand" in words(reader.get(copies))


def test_a_coach_who_competes_reads_kind_and_times_alone(club: Club, reader: Reader) -> None:
    club.series.create(kind=Kind.CLUB_NIGHT, weekdays=[4], scrambles=9, colours=["red"])
    issue_due(drawer=DRAWERS.daily, now=NOON + timedelta(days=1))
    rival = make_membership(club, "Runa", Role.COACH, competes=True)
    night = club.series.get(kind=Kind.CLUB_NIGHT)
    for page in (WEEK, f"{WEEK}2026-12-02/", f"{WEEK}{FRIDAY}/{night.pk}/"):
        said = words(reader_for(rival).get(page))
        assert "Club night" in said
        assert "crosses" not in said
    assert "9 crosses" in words(reader.get(WEEK))


def test_a_set_is_kept_open_for_a_member_on_the_page_of_corrections(
    reader: Reader, member: Membership, second: Membership, given: Given
) -> None:
    today = given.a_set()
    page = f"{ROOT}/coach/sets/{today.pk}/correct/"
    sent = {"do": "window", "members": [member.pk], "longer": "2", "because": "dentist"}
    assert "Choose at least one member." in words(reader.post(page, {"do": "window"}, status=400))
    reader.post(page, sent, status=302)
    assert (
        "Wednesday’s set (Wednesday 25 November) is open longer for some members, and closes for "
        "good tomorrow at 02:00: dentist." in words(reader.get(page))
    )
    again = words(reader.post(page, sent, status=409))
    assert "The set is kept open longer already." in again
