"""The page of settings: made from the fields' own words, sending along what it showed."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Any

import pytest

from tests.web.conftest import ROOT, reader_for, words
from training.models import SETTINGS, Club, Membership

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
            if chosen and name != "csrfmiddlewaretoken":
                self.sent.setdefault(name, []).append(value)


def sent_by(who: Membership) -> dict[str, Any]:
    return {"do": "save", **Controls(reader_for(who).get(PAGE)).sent}


def test_a_page_sent_back_untouched_changes_nothing(coach: Membership, club: Club) -> None:
    before = {name: getattr(club, name) for name in SETTINGS}
    reader_for(coach).post(PAGE, sent_by(coach), status=302)
    club.refresh_from_db()
    assert {name: getattr(club, name) for name in SETTINGS} == before


def test_what_another_coach_saved_meanwhile_stays(
    coach: Membership, owner: Membership, club: Club
) -> None:
    mine, theirs = sent_by(coach), sent_by(owner)
    reader_for(owner).post(PAGE, theirs | {"colours": ["red"], "spelling": "strict"}, status=302)
    reader_for(coach).post(PAGE, mine | {"daily_scrambles": "3"}, status=302)
    club.refresh_from_db()
    assert (club.daily_scrambles, club.colours, club.spelling) == (3, ["red"], "strict")


def test_every_setting_stands_on_the_page_with_its_own_words(coach: Membership) -> None:
    page = words(reader_for(coach).get(PAGE))
    for name in SETTINGS:
        field = Club._meta.get_field(name)
        assert str(field.verbose_name) in page
        assert str(field.help_text) in page


def test_no_choice_is_empty(coach: Membership) -> None:
    """A club has a zone, so that choosing none is no choice."""
    page = reader_for(coach).get(PAGE)
    assert '<option value="Europe/Oslo" selected>' in page
    assert '<option value=""' not in page


@pytest.mark.parametrize(
    ("name", "wrong", "said"),
    [
        ("daily_scrambles", "13", "A set has between 1 and 12 scrambles."),
        ("daily_opens", "soon", "Write the time as hours and minutes"),
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
