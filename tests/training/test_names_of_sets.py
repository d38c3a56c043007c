"""What a set is called: no two of a day share a name. The product's own rule, no outside source."""

from __future__ import annotations

from datetime import date, timedelta
from importlib import import_module
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection

from tests.conftest import NOON
from tests.grouping import group_named, put_in
from tests.web.conftest import ROOT, reader_for, words
from training.models import Challenge, Kind, Membership, ScrambleSet
from training.selectors import planning
from training.selectors.plans import sets_now
from training.selectors.set_heads import load_named, title_of
from training.services.afterwards import plan_afterwards
from training.services.lesson_sets import call_off, make_homework
from training.services.questions import ask

pytestmark = pytest.mark.django_db

WEDNESDAY = date(2026, 11, 25)
MONDAY = date(2026, 11, 23)
DAY = timedelta(days=1)


def homework(by: Membership, **changes) -> ScrambleSet:
    entry = {
        "code": "base_turn",
        "scrambles": 2,
        "lengths": (4, 6),
        "opens_day": WEDNESDAY,
        "days": 3,
        "now": NOON,
    }
    return make_homework(by=by, **{**entry, **changes})


def test_the_clubs_set_and_a_groups_stand_side_by_side_under_two_names(given, club, member) -> None:
    given.a_set()
    for_group = given.a_set(series=None)
    for_group.groups.add(put_in("Builders", member), group_named(club, "Owls"))
    titles = {one.head.title for one in sets_now(member, NOON)}
    assert titles == {"Wednesday’s set", "Wednesday’s set for Builders and Owls"}


def test_homework_for_all_for_a_group_and_for_one_is_told_apart(coach, member) -> None:
    first, second = homework(coach), homework(coach, code="shared_turn")
    for_group = homework(coach, groups=[put_in("Builders", member)])
    own, own_too = homework(coach, member=member), homework(coach, member=member)
    made = [first, second, for_group, own, own_too]
    said = [
        "Homework from Wednesday",
        "Homework 2 from Wednesday",
        "Homework from Wednesday for Builders",
        "Own homework from Wednesday",
        "Own homework 2 from Wednesday",
    ]
    assert [title_of(ScrambleSet.objects.get(pk=one.pk)) for one in made] == said
    # What the member finds are these, and no name of an idea that is still to be seen.
    assert {one.head.title for one in sets_now(member, NOON)} == set(said)


def test_a_number_that_was_called_off_is_given_again_and_another_day_begins_with_one(
    coach,
) -> None:
    tomorrow = WEDNESDAY + DAY
    first = homework(coach, opens_day=tomorrow)
    second = homework(coach, opens_day=tomorrow)
    call_off(by=coach, set_id=first.pk, now=NOON)
    third = homework(coach, opens_day=tomorrow)
    assert (second.nth, third.nth) == (2, 1)
    assert homework(coach, opens_day=tomorrow + DAY).nth == 1


def test_a_set_planned_again_keeps_the_name_of_what_it_is_of(given, coach, member) -> None:
    closed = given.a_set(
        opens=NOON - 2 * DAY, closes=NOON - DAY, kind=Kind.HOMEWORK, drawn="picked", nth=2
    )
    closed.groups.add(put_in("Builders", member))
    again = plan_afterwards(membership=member, scramble_set=closed, now=NOON)
    assert title_of(again) == "Homework 2 from Monday for Builders, afterwards"


def test_the_names_of_many_sets_take_as_many_queries_as_those_of_few(
    given, member, django_assert_num_queries
) -> None:
    builders = put_in("Builders", member)
    for day in range(3):
        closed = given.a_set(opens=NOON - (day + 2) * DAY, closes=NOON - (day + 1) * DAY)
        closed.groups.add(builders)
        plan_afterwards(membership=member, scramble_set=closed, now=NOON)
    found = list(ScrambleSet.objects.all())
    with django_assert_num_queries(3):
        load_named(found)
        assert len({title_of(one) for one in found}) == 6


def test_an_older_clubs_sets_are_numbered_in_the_order_in_which_they_were_issued(
    given, club
) -> None:
    made = [
        given.a_set(series=None, issued_at=NOON + timedelta(minutes=minutes))
        for minutes in (2, 1, 3, 4)
    ]
    made[2].groups.add(group_named(club, "Builders"))
    other_day = given.a_set(series=None, opens=NOON + DAY, closes=NOON + 2 * DAY)
    migration = import_module("training.migrations.0053_nth_of_a_day")
    migration.number_them(apps, SimpleNamespace(connection=connection))
    for one in (*made, other_day):
        one.refresh_from_db()
    assert [one.nth for one in (*made, other_day)] == [2, 1, 1, 3, 1]


def test_a_scramble_named_by_its_day_says_of_which_set_where_that_is_not_the_clubs_first(
    given, coach, member
) -> None:
    builders = put_in("Builders", member)
    of_club, of_group = given.a_set(), given.a_set(series=None)
    of_group.groups.add(builders)
    for one in (of_club, of_group):
        ask(by=member, scramble=given.scramble(one), words="Why?", now=NOON)
    said = words(reader_for(coach).get(f"{ROOT}/coach/questions/"))
    assert "Ines Wednesday 25 November, scramble 1" in said
    assert "Ines Wednesday’s set for Builders (Wednesday 25 November), scramble 1" in said


def test_the_planner_tells_the_challenges_and_homeworks_of_a_week_apart(given, coach) -> None:
    for _twice in range(2):
        homework(coach)
    for number in (7, 8):
        of_set = given.a_set(kind=Kind.CHALLENGE)
        Challenge.objects.create(scramble_set=of_set, number=number, announced_at=NOON)
    names = [one.name for day in planning.week(coach, MONDAY, NOON).days for one in day.sets]
    assert {"Weekly challenge 7", "Weekly challenge 8", "", "Homework 2"} <= set(names)
