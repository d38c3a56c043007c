"""Timing and hold are chosen with each set that is made by hand; left out, they are the club's."""

from __future__ import annotations

import re

import pytest

from tests.web.conftest import ROOT, reader_for, words
from training.models import Club, Membership, ScrambleSet, Series
from training.rules import Held, Timing
from training.services.clubs import change_settings

pytestmark = pytest.mark.django_db

LESSON = f"{ROOT}/coach/lessons/base_turn/"
ADD = f"{ROOT}/coach/week/2026-11-27/add/"
PICKED = {"scrambles": 2, "shortest": 4, "longest": 6, "opens_day": "2026-11-27", "days": 3}
CHALLENGE = {
    "do": "announce",
    "challenge-opens_day": "2026-11-27",
    "challenge-opens": "18:00",
    "challenge-closes_day": "2026-11-28",
    "challenge-closes": "18:00",
    "challenge-scrambles": "3",
    "challenge-question_hours": "48",
    "challenge-colours": ["white"],
    "challenge-answers_to": "closing",
}
NIGHT = {
    "kind": "club_night",
    "opens": "18:00",
    "closes": "20:00",
    "days_later": "0",
    "scrambles": "3",
    "colours": ["yellow"],
    "do": "keep",
}
FOUR = ("challenge", "homework", "club_night", "for_one")


def give(coach: Membership, member: Membership, what: str, **rules: str) -> ScrambleSet:
    """Make a set on its page with these rules."""
    reader = reader_for(coach)
    if what == "challenge":
        entered = {f"challenge-{name}": one for name, one in rules.items()}
        reader.post(f"{ROOT}/challenges/", CHALLENGE | entered, status=302)
    elif what == "for_one":
        page = f"{ROOT}/coach/members/{member.pk}/homework/"
        reader.post(page, PICKED | {"code": "base_turn"} | rules, status=302)
    else:
        evening = {"begins": "18:30", "minutes": 45} if what == "club_night" else {}
        reader.post(LESSON, PICKED | {"occasion": what} | evening | rules, status=302)
    return ScrambleSet.objects.latest("pk")


@pytest.mark.parametrize("what", FOUR)
@pytest.mark.parametrize("timing", [one.value for one in Timing])
@pytest.mark.parametrize("held", [one.value for one in Held])
def test_a_set_keeps_what_was_chosen_for_it(
    coach, member, what: str, timing: str, held: str
) -> None:
    made = give(coach, member, what, timing=timing, held=held)
    assert (made.timing, made.held) == (timing, held)
    assert made.spelling == coach.club.spelling


@pytest.mark.parametrize("what", FOUR)
def test_what_is_left_out_is_the_clubs(coach, owner, member, club: Club, what: str) -> None:
    change_settings(by=owner, changes={"timing": "timed", "held": "free"})
    coach.club.refresh_from_db()
    made = give(coach, member, what)
    assert (made.timing, made.held) == ("timed", "free")
    other = give(coach, member, what, timing="untimed")
    assert (other.timing, other.held) == ("untimed", "free")


@pytest.mark.parametrize("what", FOUR)
def test_another_word_is_refused_at_its_field(coach, member, what: str) -> None:
    page, name = LESSON, "timing"
    entered = PICKED | {"occasion": what, "begins": "18:30", "minutes": 45}
    if what == "challenge":
        page, entered, name = f"{ROOT}/challenges/", CHALLENGE, "challenge-timing"
    if what == "for_one":
        page = f"{ROOT}/coach/members/{member.pk}/homework/"
        entered = PICKED | {"code": "base_turn"}
    refused = reader_for(coach).post(page, entered | {name: "by_moonlight"}, status=400)
    assert "Choose from the list how inspection is timed." in words(refused)
    assert not ScrambleSet.objects.exists()


def test_each_page_asks_with_the_words_of_the_settings_and_shows_the_clubs(
    coach, owner, member, club: Club
) -> None:
    change_settings(by=owner, changes={"timing": "timed", "held": "free"})
    homework = f"{ROOT}/coach/members/{member.pk}/homework/"
    for page in (f"{ROOT}/challenges/", LESSON, homework, ADD):
        told = reader_for(coach).get(page)
        said = words(told)
        assert "a second look at the scramble, or whose inspection has no end counts 8." in said
        assert "As each member likes: top and front are told beside the plan." in said
        chosen = re.findall(r'<option value="(\w+)" selected', told)
        assert {"timed", "free"} <= set(chosen), page


def version(page: str) -> str:
    found = re.search(r'name="version" value="([0-9a-f]+)"', page)
    assert found is not None
    return found[1]


@pytest.mark.parametrize(
    ("rules", "own"),
    [
        ({}, False),
        ({"timing": "either", "held": "written"}, False),
        ({"timing": "timed"}, True),
        ({"held": "free"}, True),
        ({"timing": "timed", "held": "free"}, True),
    ],
)
def test_a_planned_set_has_rules_of_its_own_where_they_differ(
    coach, club: Club, rules: dict[str, str], own: bool
) -> None:
    reader = reader_for(coach)
    reader.post(ADD, NIGHT | rules | {"version": version(reader.get(ADD))}, status=302)
    made = Series.objects.get(only_on__isnull=False)
    assert made.club_rules is not own
    assert made.rules_of_sets.timing == rules.get("timing", "either")
    assert made.rules_of_sets.held == rules.get("held", "written")
    assert made.rules_of_sets.colours == ("yellow",)
