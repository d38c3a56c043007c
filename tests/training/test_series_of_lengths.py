"""Series of picked sets: crosses as long as a group can plan, in tables of their own.

How long a cross is, the checker says of a plan for it: its best. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction

from solverworker.tasks import DRAWERS
from tests.conftest import NOON, Given
from tests.grouping import group_named, put_in
from tests.web.conftest import ROOT, reader_for, words
from training import refusals
from training.models import Club, Drawn, Kind, Membership, Plan, ScrambleSet, Series
from training.selectors import tables
from training.services import periodic, series
from training.visibility import reviewed_sets

TODAY = date(2026, 11, 25)
DAY = timedelta(days=1)
LATER = NOON + timedelta(minutes=1)


@pytest.fixture(autouse=True)
def _later(clock: Callable[[datetime], None]) -> None:
    clock(LATER)


@pytest.fixture
def beginners(club: Club, coach: Membership, member: Membership, second: Membership) -> Series:
    """A series for a group of one, of crosses of two and three moves."""
    group = group_named(club, "Beginners")
    put_in(group, member, since=NOON - 30 * DAY)
    return series.start_series(
        by=coach,
        settings={"scrambles": 4, "shortest": 2, "longest": 3, "spare": False},
        begins_on=TODAY,
        groups=[group],
        now=NOON,
    )


def issued(of: Series, day: date = TODAY) -> ScrambleSet:
    periodic.tick(drawers=DRAWERS, now=LATER)
    return ScrambleSet.objects.get(series=of, day=day)


def test_its_sets_are_picked_drawn_by_a_worker_and_as_long_as_asked(
    beginners: Series, member: Membership, given: Given
) -> None:
    made = issued(beginners)
    assert (made.drawn, made.kind, made.spare) == (Drawn.PICKED, Kind.DAILY, "")
    assert made.scrambles.count() == 4
    for number in range(1, 5):
        plan = given.a_plan(member, made, number, None, at=LATER)
        assert 2 <= Plan.objects.get(pk=plan.pk).verdict.best <= 3
    # Tomorrow's is drawn already, and sealed.
    tomorrow = ScrambleSet.objects.get(series=beginners, day=TODAY + DAY)
    assert tomorrow.scrambles.count() == 4
    reader_for(member).get(f"{ROOT}/sets/{tomorrow.pk}/", status=404)


def test_it_is_there_for_its_group_and_says_how_it_was_drawn(
    beginners: Series, member: Membership, second: Membership
) -> None:
    made = issued(beginners)
    said = words(reader_for(member).get(f"{ROOT}/today/"))
    assert "drawn by lot from crosses of the lengths that a coach chose" in said
    assert "For Beginners: it counts in no table but its own." in said
    reader_for(second).get(f"{ROOT}/sets/{made.pk}/", status=404)


def test_it_has_a_table_of_its_own_and_enters_no_other(
    beginners: Series, member: Membership, coach: Membership, given: Given
) -> None:
    made = issued(beginners)
    for number in range(1, 5):
        given.a_plan(member, made, number, None, at=LATER)
    own = tables.set_table(coach, made.pk, LATER)
    assert [one.membership_id for one in own.rows] == [member.pk]
    day = tables.day_table(coach, TODAY, LATER)
    assert made.pk not in [one.id for one in day.sets]
    after = made.closes_at + DAY
    assert made not in reviewed_sets(coach, NOON - DAY, after)
    assert made in reviewed_sets(coach, NOON - DAY, after, drawn=Drawn.PICKED)
    page = reader_for(member).get(f"{ROOT}/sets/{made.pk}/")
    assert f"{ROOT}/sets/{made.pk}/table/" in page


def test_one_for_everybody_leads_to_its_own_table_too(
    club: Club, coach: Membership, member: Membership, given: Given
) -> None:
    one = series.start_series(
        by=coach,
        settings={"scrambles": 1, "shortest": 2, "longest": 2},
        begins_on=TODAY,
        now=NOON,
    )
    made = issued(one)
    given.a_plan(member, made, 1, None, at=LATER)
    page = reader_for(member).get(f"{ROOT}/sets/{made.pk}/")
    assert f"{ROOT}/sets/{made.pk}/table/" in page


@pytest.mark.parametrize(
    ("lengths", "field", "said"),
    [
        ((3, None), "longest", "Give both lengths"),
        ((None, 3), "shortest", "Give both lengths"),
        ((5, 3), "longest", "the smaller one first"),
        ((1, 3), "shortest", "from 2 to 8 moves"),
        ((2, 9), "longest", "from 2 to 8 moves"),
    ],
)
def test_lengths_that_make_no_sense_are_refused(
    coach: Membership, club: Club, lengths: tuple[int | None, int | None], field: str, said: str
) -> None:
    changes = dict(zip(("shortest", "longest"), lengths, strict=True))
    with pytest.raises(refusals.InvalidEntry, match=said):
        series.change_series(by=coach, series=club.first_series, changes=changes, now=NOON)
    page = reader_for(coach).post(
        f"{ROOT}/settings/series/new/",
        {
            "begins_on": "2026-11-26",
            "kind": "club_night",
            "weekdays": ["2"],
            "opens": "18:00",
            "closes": "19:00",
            "days_later": "0",
            "scrambles": "3",
            "club_rules": "on",
            "colours": ["white"],
            "spelling": "club",
            "answers_to": "own_plan",
            "table_to": "own_plan",
            "timing": "either",
            "held": "written",
            **{name: "" if one is None else str(one) for name, one in changes.items()},
        },
        status=400,
    )
    assert said in words(page), field


def test_the_database_keeps_them_in_order(club: Club) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        Series.objects.filter(pk=club.first_series.pk).update(shortest=5, longest=3)


def test_a_challenge_has_none(coach: Membership) -> None:
    settings = {
        "kind": Kind.CHALLENGE,
        "shortest": 2,
        "longest": 3,
        "table_to": "closing",
        "club_rules": False,
    }
    with pytest.raises(refusals.InvalidEntry, match="drawn by chance alone"):
        series.start_series(by=coach, settings=settings, begins_on=TODAY, now=NOON)


def test_without_lengths_it_is_random_again(beginners: Series, coach: Membership) -> None:
    issued(beginners)
    series.change_series(
        by=coach, series=beginners, changes={"shortest": None, "longest": None}, now=LATER
    )
    tomorrow = issued(beginners, TODAY + DAY)
    assert tomorrow.drawn == Drawn.AS_DRAWN
