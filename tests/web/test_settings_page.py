"""The page of settings: made from the fields' own words, sending along what it showed."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Any

import pytest
from django.utils.choices import flatten_choices

from tests.web.conftest import ROOT, reader_for, words
from training import clock
from training.models import SERIES_SETTINGS, SETTINGS, Club, Membership, Series
from training.models.settings import zone_choices

pytestmark = pytest.mark.django_db

PAGE = f"{ROOT}/settings/"


class Controls(HTMLParser):
    """What a browser would send of the form with the settings, nothing being touched."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.sent: dict[str, list[str]] = {}
        self._inside = False
        self._select = ""
        start = page.index('<form method="post" class="stack loose"')
        self.feed(page[start : page.index("</form>", start)])

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        name, value = given.get("name") or "", given.get("value") or ""
        if tag == "select":
            self._select = name
        elif tag == "option" and "selected" in given:
            self.sent.setdefault(self._select, []).append(value)
        elif tag == "input":
            chosen = given.get("type") not in {"checkbox", "radio"} or "checked" in given
            if given.get("type") == "checkbox" and "value" not in given:
                value = "on"
            if chosen and name != "csrfmiddlewaretoken":
                self.sent.setdefault(name, []).append(value)


def sent_by(who: Membership, page: str = PAGE) -> dict[str, Any]:
    return {"do": "save", **Controls(reader_for(who).get(page)).sent}


def series_page(club: Club) -> str:
    return f"{PAGE}series/{club.first_series.pk}/"


def test_a_page_sent_back_untouched_changes_nothing(coach: Membership, club: Club) -> None:
    before = {name: getattr(club, name) for name in SETTINGS}
    reader_for(coach).post(PAGE, sent_by(coach), status=302)
    club.refresh_from_db()
    assert {name: getattr(club, name) for name in SETTINGS} == before
    page, first = series_page(club), club.first_series
    before = {name: getattr(first, name) for name in SERIES_SETTINGS}
    reader_for(coach).post(page, sent_by(coach, page), status=302)
    first.refresh_from_db()
    assert {name: getattr(first, name) for name in SERIES_SETTINGS} == before


def test_what_another_coach_saved_meanwhile_stays(
    coach: Membership, owner: Membership, club: Club
) -> None:
    mine, theirs = sent_by(coach), sent_by(owner)
    reader_for(owner).post(PAGE, theirs | {"colours": ["red"], "spelling": "strict"}, status=302)
    reader_for(coach).post(PAGE, mine | {"technique_target": "80"}, status=302)
    club.refresh_from_db()
    assert (club.technique_target, club.colours, club.spelling) == (80, ["red"], "strict")
    page = series_page(club)
    mine, theirs = sent_by(coach, page), sent_by(owner, page)
    reader_for(owner).post(page, theirs | {"opens": "09:00", "weekdays": ["1"]}, status=302)
    reader_for(coach).post(page, mine | {"scrambles": "3"}, status=302)
    first = club.first_series
    assert (first.scrambles, first.opens.hour, first.weekdays) == (3, 9, [1])


def test_every_setting_stands_on_the_page_with_its_own_words(coach: Membership) -> None:
    page = words(reader_for(coach).get(PAGE))
    for name in SETTINGS:
        field = Club._meta.get_field(name)
        assert str(field.verbose_name) in page
        assert str(field.help_text) in page
    of_series = words(reader_for(coach).get(series_page(coach.club)))
    for name in SERIES_SETTINGS:
        field = Series._meta.get_field(name)
        assert str(field.verbose_name) in of_series
        assert str(field.help_text) in of_series


def test_no_choice_is_empty(coach: Membership) -> None:
    """A club has a zone, so that choosing none is no choice."""
    page = reader_for(coach).get(PAGE)
    assert '<option value="Europe/Oslo" selected>Oslo</option>' in page
    assert '<option value=""' not in page


def test_every_zone_has_a_name_of_its_own_that_a_phone_has_room_for() -> None:
    """A line of 24 letters is what a select of a 320 px screen shows; measured in Chromium."""
    groups = zone_choices()
    names = [name for _value, name in flatten_choices(groups)]
    assert sorted(value for value, _name in flatten_choices(groups)) == sorted(clock.zones())
    assert len(set(names)) == len(names) > 400
    assert max(len(name) for name in names) <= 24


@pytest.mark.parametrize(
    ("name", "wrong", "said"),
    [
        ("time_zone", "Mars/Olympus", "Choose a time zone from the list."),
        ("colours", [], "Allow at least one cross colour."),
        ("technique_target", "100", "The target is between 1 and 99"),
        ("best_sets_counted", "15", "Between 1 and 14 sets of a week count."),
    ],
)
def test_a_wrong_entry_is_refused_in_the_fields_words_and_stores_nothing(
    coach: Membership, club: Club, name: str, wrong: Any, said: str
) -> None:
    page = reader_for(coach).post(PAGE, sent_by(coach) | {name: wrong}, status=400)
    assert said in words(page)
    before = getattr(club, name)
    club.refresh_from_db()
    assert getattr(club, name) == before


@pytest.mark.parametrize(
    ("name", "wrong", "said"),
    [
        ("scrambles", "13", "A set has between 1 and 12 scrambles."),
        ("opens", "soon", "Write the time as hours and minutes"),
        ("days_later", "14", "A set closes at most 13 days after it opens."),
        ("kind", "homework", "Choose the kind from the list."),
        ("answers_to", "coaches", "The table cannot open before the answers"),
    ],
)
def test_a_wrong_entry_about_a_series_is_refused_in_words_and_stores_nothing(
    coach: Membership, club: Club, name: str, wrong: Any, said: str
) -> None:
    address, first = series_page(club), club.first_series
    page = reader_for(coach).post(address, sent_by(coach, address) | {name: wrong}, status=400)
    assert said in words(page)
    assert getattr(club.first_series, name) == getattr(first, name)
