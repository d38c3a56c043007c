"""Pages of seasons and challenges: changed, removed, by group, for one group alone."""

from __future__ import annotations

from datetime import date

import pytest

from tests.conftest import NOON
from tests.grouping import group_named, put_in
from tests.training.challenged import DAY, a_challenge, planned
from tests.web.conftest import ROOT, reader_for, words
from training.models import Challenge, Season
from training.services.confirming import settle_due

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

SPRING = {
    "season-name": "Spring",
    "season-first_day": "2027-02-01",
    "season-last_day": "2027-04-30",
    "season-kinds": ["daily"],
    "season-best_sets_counted": "6",
}


@pytest.fixture
def winter(club) -> Season:
    """A season that has not begun."""
    return Season.objects.create(
        club=club,
        name="winter",
        first_day=date(2026, 12, 1),
        last_day=date(2027, 1, 31),
        kinds=["challenge"],
    )


def begin(season: Season) -> None:
    Season.objects.filter(pk=season.pk).update(first_day=date(2026, 11, 1))


def test_one_that_has_not_begun_is_changed_as_a_whole(coach, winter) -> None:
    reader, place = reader_for(coach), f"{ROOT}/seasons/{winter.pk}/change/"
    assert 'value="winter"' in reader.get(place)
    assert reader.client.post(place, SPRING).status_code == 302
    winter.refresh_from_db()
    assert (winter.name, winter.first_day, winter.kinds, winter.best_sets_counted) == (
        "Spring",
        date(2027, 2, 1),
        ["daily"],
        6,
    )


def test_of_one_that_has_begun_the_name_alone_is(coach, winter) -> None:
    begin(winter)
    reader, place = reader_for(coach), f"{ROOT}/seasons/{winter.pk}/change/"
    page = reader.get(place)
    assert "what it counts is fixed" in words(page)
    assert "Remove this season" not in page
    assert reader.client.post(place, SPRING).status_code == 302
    winter.refresh_from_db()
    assert (winter.name, winter.kinds, winter.best_sets_counted) == ("Spring", ["challenge"], None)
    assert "has begun, so it stays" in words(reader.post(place, {"remove": "season"}, 409))
    assert Season.objects.exists()


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("season-name", "", "Write a name"),
        ("season-first_day", "tomorrow", "Write the date"),
        ("season-last_day", "2027-01-01", "ends on or after its first day"),
        ("season-kinds", [], "Choose at least one kind"),
        ("season-best_sets_counted", "many", "Write a whole number"),
    ],
)
def test_what_cannot_be_is_refused_in_words(coach, winter, name, value, said) -> None:
    place = f"{ROOT}/seasons/{winter.pk}/change/"
    page = reader_for(coach).post(place, {**SPRING, name: value}, 400)
    assert said in words(page)
    winter.refresh_from_db()
    assert winter.name == "winter"


def test_one_that_has_not_begun_is_removed(coach, winter) -> None:
    reader = reader_for(coach)
    gone = reader.client.post(f"{ROOT}/seasons/{winter.pk}/change/", {"remove": "season"})
    assert gone["Location"] == f"{ROOT}/challenges/"
    assert not Season.objects.exists()
    assert "Removed. The sets stay." in words(reader.get(f"{ROOT}/challenges/"))


def test_members_are_led_to_no_change(member, coach, winter) -> None:
    place = f"{ROOT}/seasons/{winter.pk}/"
    assert "Change this season" not in reader_for(member).get(place)
    assert "Change this season" in reader_for(coach).get(place)


def test_a_season_says_until_when_it_waits_and_that_it_stood_by_itself(
    club, given, coach, member
) -> None:
    season = Season.objects.create(
        club=club,
        name="autumn",
        first_day=date(2026, 11, 1),
        last_day=date(2026, 11, 24),
        kinds=["challenge"],
    )
    one = a_challenge(club, opens=NOON - 6 * DAY, closes=NOON - 5 * DAY, scrambles=1)
    planned(given, one, member, ["D' R'"])
    settle_due(now=NOON)
    place = f"{ROOT}/seasons/{season.pk}/"
    # Over at the midnight before; 48 hours later it stands.
    assert "Members may ask until" in words(reader_for(member).get(place))
    settle_due(now=NOON + 2 * DAY)
    page = words(reader_for(member).get(place))
    assert "Stands since" in page
    assert "when the time for questions was over" in page


def test_tables_by_group_are_a_tap_away(club, given, coach, member, second) -> None:
    season = Season.objects.create(
        club=club,
        name="autumn",
        first_day=date(2026, 11, 1),
        last_day=date(2026, 12, 24),
        kinds=["challenge"],
    )
    builders = put_in("Builders", member, since=NOON - 60 * DAY)
    one = a_challenge(club, opens=NOON - 6 * DAY, closes=NOON - 5 * DAY, scrambles=1)
    planned(given, one, member, ["D2 D R'"])
    planned(given, one, second, ["D' R'"])
    for place in (f"{ROOT}/challenges/{one.pk}/", f"{ROOT}/seasons/{season.pk}/"):
        reader = reader_for(member)
        whole = reader.get(place)
        assert f'href="?group={builders.pk}"' in whole
        assert "Bashir" in whole
        theirs = reader.get(f"{place}?group={builders.pk}")
        assert "Bashir" not in theirs
        assert "those who belonged to Builders" in words(theirs)
        # Whoever never belonged to it has no table of it.
        assert reader_for(second).client.get(f"{place}?group={builders.pk}").status_code == 404
    mine = words(reader_for(member).get(f"{ROOT}/challenges/{one.pk}/?group={builders.pk}"))
    assert "You are number 1 of 1" in mine


def test_a_challenge_is_announced_to_a_group(club, coach, member, second) -> None:
    put_in("Builders", member, since=NOON - 60 * DAY)
    builders = group_named(club, "Builders")
    reader = reader_for(coach)
    entered = {
        "do": "announce",
        "challenge-opens_day": "2026-11-27",
        "challenge-opens": "18:00",
        "challenge-closes_day": "2026-11-28",
        "challenge-closes": "18:00",
        "challenge-scrambles": "3",
        "challenge-question_hours": "48",
        "challenge-colours": ["white"],
        "challenge-answers_to": "closing",
        "challenge-groups": [builders.pk],
    }
    assert reader.client.post(f"{ROOT}/challenges/", entered).status_code == 302
    one = Challenge.objects.get()
    assert [each.name for each in one.scramble_set.groups.all()] == ["Builders"]
    place = f"{ROOT}/challenges/{one.pk}/"
    assert "for Builders" in words(reader_for(member).get(place))
    assert reader_for(second).client.get(place).status_code == 404


def test_the_table_of_a_challenge_s_set_says_whose_numbers_it_has(
    club, given, coach, member
) -> None:
    one = a_challenge(club, opens=NOON - 6 * DAY, closes=NOON - 5 * DAY, scrambles=1)
    planned(given, one, member, ["D' R'"])
    page = reader_for(member).get(f"{ROOT}/sets/{one.scramble_set_id}/table/")
    assert "These are the numbers of now" in words(page)
    assert f'href="{ROOT}/challenges/{one.pk}/"' in page
    other = given.a_set(opens=NOON - 3 * DAY, closes=NOON - 2 * DAY)
    page = reader_for(member).get(f"{ROOT}/sets/{other.pk}/table/")
    assert "numbers of now" not in words(page)


def test_of_a_picked_set_it_is_said_that_it_has_no_spare(given, coach) -> None:
    picked = given.a_set(kind="homework", drawn="picked")
    drawn = given.a_set()
    reader = reader_for(coach)
    for one, said in ((picked, True), (drawn, False)):
        page = words(reader.get(f"{ROOT}/coach/sets/{one.pk}/correct/"))
        assert ("drawn without a spare" in page) is said
