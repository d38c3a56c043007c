"""The calendar's page and its file (RFC 5545), read here by lines, not by what wrote it."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest
from django.test import Client

from tests.conftest import NOON, Given
from tests.web.conftest import ROOT, reader_for, words
from training.models import Club, Drawn, Kind, Membership
from training.services import clubs, feeds

pytestmark = pytest.mark.django_db

PAGE = f"{ROOT}/calendar/"


@pytest.fixture(autouse=True)
def _at_noon(clock: Callable[[datetime], None]) -> None:
    """All of it happens on a Wednesday at noon."""


def address_on(page: str) -> str:
    found = re.search(r"http://testserver(/calendar/[\w-]+\.ics)", page)
    assert found is not None
    return found[1]


def file_of(who: Membership) -> str:
    answer = Client().get(f"/calendar/{feeds.make_address(membership=who)}.ics")
    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer["X-Robots-Tag"] == "noindex"
    assert "no-store" in answer["Cache-Control"]
    raw = answer.content
    # Section 3.1: lines end with CR LF and have at most 75 octets; longer ones are folded.
    assert raw.endswith(b"\r\n")
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    assert b"\n" not in raw.replace(b"\r\n", b"")
    return raw.decode().replace("\r\n ", "").replace("\r\n", "\n")


def events(file: str) -> list[dict[str, str]]:
    found = re.findall(r"BEGIN:VEVENT\n(.*?)END:VEVENT\n", file, re.DOTALL)
    return [dict(line.split(":", 1) for line in one.splitlines()) for one in found]


def test_the_file_is_a_calendar_by_the_standard(club: Club, member: Membership) -> None:
    clubs.add_day_off(by=_coach(club), day=date(2026, 12, 24), reason="FAIR", now=NOON)
    file = file_of(member)
    assert file.startswith("BEGIN:VCALENDAR\n")
    assert file.endswith("END:VCALENDAR\n")
    # Sections 3.6, 3.7.3 and 3.7.4: these two are required of a calendar.
    assert "\nVERSION:2.0\n" in file
    assert re.search(r"^PRODID:.+$", file, re.MULTILINE)
    told = events(file)
    # Section 3.6.1: of an event UID and DTSTAMP are required, and DTSTART without METHOD.
    assert all({"UID", "DTSTAMP"} < set(one) for one in told)
    assert len({one["UID"] for one in told}) == len(told) > 40
    today = told[0]
    assert today["SUMMARY"] == "Lantern Street: Daily set"
    # Midnight to midnight in Oslo, in form 2 of section 3.3.5: UTC.
    assert (today["DTSTART"], today["DTEND"]) == ("20261124T230000Z", "20261125T230000Z")
    off = next(one for one in told if "day off" in one["SUMMARY"])
    assert (off["DTSTART;VALUE=DATE"], off["DTEND;VALUE=DATE"]) == ("20261224", "20261225")
    assert not any(one.get("DTSTART") == "20261223T230000Z" for one in told)


def _coach(club: Club) -> Membership:
    from tests.conftest import make_membership

    return make_membership(club, "Kari", "coach")


def test_nothing_of_what_is_sealed_is_in_it(club: Club, member: Membership, given: Given) -> None:
    club.series.create(
        name="SECRET NAME",
        kind=Kind.CLUB_NIGHT,
        scrambles=11,
        club_rules=False,
        colours=["orange"],
    )
    given.a_set(
        opens=NOON + timedelta(hours=9),
        closes=NOON + timedelta(hours=30),
        kind=Kind.HOMEWORK,
        drawn=Drawn.PICKED,
        profile={"technique": "base_turn"},
        scrambles=("R D L",),
    )
    told = events(file_of(member))
    assert {one["SUMMARY"] for one in told} == {
        "Lantern Street: Daily set",
        "Lantern Street: Club night",
        "Lantern Street: Homework",
    }
    for one in told:
        assert set(one) == {"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "URL", "TRANSP"}
    # What else stands in an event is an address and numbers of the club's own.
    text = str(told)
    for sealed in ("SECRET", "orange", "base", "R D L", "11 "):
        assert sealed not in text


def test_an_address_is_shown_once_renewed_and_taken_back(member: Membership) -> None:
    reader = reader_for(member)
    assert "Make my address" in reader.get(PAGE)
    first = address_on(reader.post(PAGE, {"do": "make"}))
    assert Client().get(first).status_code == 200
    again = reader.get(PAGE)
    assert ".ics" not in again
    assert "An address of yours works; it was made" in words(again)
    second = address_on(reader.post(PAGE, {"do": "make"}))
    assert second != first
    assert Client().get(first).status_code == 404
    assert Client().get(second).status_code == 200
    reader.post(PAGE, {"do": "take_back"}, status=302)
    assert Client().get(second).status_code == 404
    assert "chat" not in words(reader.get(PAGE))


def test_what_is_still_to_come_is_copied_without_names(
    coach: Membership, member: Membership, second: Membership, given: Given
) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, "D' R'")
    page = reader_for(coach).get(PAGE)
    found = re.search(r"<textarea[^>]*id=\"chat-1\"[^>]*>(.*?)</textarea>", page, re.DOTALL)
    assert found is not None
    assert found[1].splitlines() == [
        "Wednesday’s set: closes tonight at midnight.",
        "1 still to come.",
        f"http://testserver{ROOT}/today/",
    ]
    assert "Bashir" not in found[1]
    assert "On this screen only, still to come: Bashir." in words(page)


def test_a_strange_address_is_not_there() -> None:
    for token in ("x", "a" * 43, "%00", "é"):
        assert Client().get(f"/calendar/{token}.ics").status_code == 404
