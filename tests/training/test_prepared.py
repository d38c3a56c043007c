"""Queries put into SQL once give what the framework gives, and refuse to be half made."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.db import connection, connections
from django.db.models import Count, F, Value
from django.forms import model_to_dict
from django.test.utils import CaptureQueriesContext

from tests.conftest import NOON, make_membership
from tests.grouping import put_in
from training import prepared as prepared_module
from training import visibility
from training.models import Membership, Plan, PracticeDue, Role, Scramble, ScrambleSet
from training.prepared import (
    DAY,
    EITHER,
    FEW,
    INSTANT,
    LARGE,
    MANY,
    SMALL,
    TEXT,
    Prepared,
    PreparedChange,
)
from training.selectors.for_viewers import PreparedFor

pytestmark = pytest.mark.django_db


def of_slug(slug: str, person: int):
    found = Membership.objects.select_related("club", "person", "consent_noted_by")
    return found.filter(club__slug=slug, person=person).order_by()


def test_it_gives_the_rows_that_the_framework_gives(club, other_club) -> None:
    prepared = Prepared(of_slug, TEXT, LARGE)
    people = [make_membership(club, "Ines"), make_membership(other_club, "Orla", under_18=False)]
    people[1].consent_noted_by = people[0].person
    people[1].save()
    for who in people:
        with CaptureQueriesContext(connection) as captured:
            (found,) = prepared(who.club.slug, who.person_id)
            # With all that was selected beside it, and nothing where nothing is.
            seen = (found.club.zone, found.person.sign_in_name, found.consent_noted_by)
        (expected,) = of_slug(who.club.slug, who.person_id)
        assert len(captured) == 1
        assert model_to_dict(found) == model_to_dict(expected)
        assert model_to_dict(found.club) == model_to_dict(expected.club)
        assert seen == (who.club.zone, who.person.sign_in_name, expected.consent_noted_by)
        assert found.joined_at == expected.joined_at
        assert not found._state.adding
    assert prepared(club.slug, people[1].person_id) == []


def test_a_number_that_no_column_holds_has_no_rows(given) -> None:
    def numbered(set_id: int, number: int):
        return Scramble.objects.filter(scramble_set=set_id, number=number).order_by()

    prepared, a_set = Prepared(numbered, LARGE, SMALL), given.a_set()
    assert [one.text for one in prepared(a_set.pk, 2)] == ["D R"]
    assert prepared(a_set.pk, SMALL + 1) == prepared(LARGE + 1, 1) == []
    assert prepared(a_set.pk, 10**40) == []


def test_a_place_that_does_not_get_into_the_query_is_noticed(club) -> None:
    prepared = Prepared(lambda slug, unused: Membership.objects.filter(club__slug=slug), TEXT, TEXT)
    with pytest.raises(AssertionError, match="places"):
        prepared(club.slug, "")


def test_what_is_reckoned_from_a_place_is_noticed(club, given) -> None:
    """It would be put into SQL once, as it was for the first who asked."""
    sets = ScrambleSet.objects.filter(club=club)
    week = timedelta(days=7)
    about_a_week = Prepared(
        lambda now: sets.filter(opens_at__lte=now, closes_at__gt=now - week), INSTANT
    )
    the_day_before = Prepared(lambda day: sets.filter(day__in=[day, day - week]), DAY)
    the_next = Prepared(lambda pk: sets.filter(pk__in=[pk, pk + 1]), LARGE)
    for prepared, value in ((about_a_week, NOON), (the_day_before, NOON.date()), (the_next, 5)):
        with pytest.raises(AssertionError, match="reckoned from a place"):
            prepared(value)


def test_instants_many_numbers_and_either_answer_have_their_places(given, member) -> None:
    def opened(now: datetime, sets: Sequence[int], *, newest_first: bool):
        found = ScrambleSet.objects.filter(opens_at__lte=now, pk__in=sets)
        found = found.annotate(asked_at=Value(now), of=Value(member.pk))
        return found.order_by("-opens_at" if newest_first else "opens_at")

    prepared = Prepared(
        lambda now, sets, newest: opened(now, sets, newest_first=newest), INSTANT, MANY, EITHER
    )
    days = [timedelta(days=at) for at in range(FEW + 2)]
    sets = [given.a_set(NOON - day, NOON - day + timedelta(hours=1), ()).pk for day in days]
    instants = (NOON, NOON - timedelta(days=1), NOON - timedelta(days=1, microseconds=1))
    for now in (*instants, instants[1].astimezone(ZoneInfo("Asia/Tokyo"))):
        # One, several in another order and one twice, and more than are kept in SQL.
        for asked in (sets[:1], [sets[2], sets[0], sets[2]], sets):
            for newest_first in (True, False):
                found = prepared(now, asked, newest_first)
                expected = list(opened(now, asked, newest_first=newest_first))
                assert [model_to_dict(one) for one in found] == [
                    model_to_dict(one) for one in expected
                ]
                told = [(one.asked_at, one.of, one.due_at, one.colours) for one in found]
                assert told == [(now, member.pk, one.due_at, one.colours) for one in expected]


def test_no_number_has_no_rows_and_no_query(given, django_assert_num_queries) -> None:
    given.a_set()
    prepared = Prepared(lambda ids: ScrambleSet.objects.filter(pk__in=ids), MANY)
    with django_assert_num_queries(0):
        assert prepared([]) == []


def test_rows_come_as_tuples_too(given, member) -> None:
    given.a_plan(member, given.a_set(), 1, "D' R'", at=NOON)

    def of(who: int):
        plans = Plan.objects.filter(membership=who).annotate(all=Count("pk"))
        return plans.values_list("handed_in_at", "all", "verdict__report", "membership__club__name")

    (found,) = Prepared(of, LARGE)(member.pk)
    (expected,) = of(member.pk)
    assert found == expected
    assert found[2]["solved"] is True  # As its column unpacks it.


def test_what_is_put_into_sql_for_one_connection_serves_no_other(club, monkeypatch) -> None:
    """They differ in their dialect, and each of a thread's own."""
    prepared = Prepared(lambda slug: Membership.objects.filter(club__slug=slug), TEXT)
    made = make_membership(club, "Ines")
    assert prepared(club.slug) == prepared(club.slug) == [made]
    assert prepared in {key[0] for key in connection.prepared}
    monkeypatch.setattr(connections["default"], "prepared", {})
    assert prepared(club.slug) == [made]
    assert {key[0] for key in connection.prepared} == {prepared}


def test_no_more_are_kept_than_are_worth_it(given, monkeypatch) -> None:
    monkeypatch.setattr(prepared_module, "MOST_KEPT", 3)
    monkeypatch.setattr(connections["default"], "prepared", {}, raising=False)
    prepared = Prepared(lambda ids: ScrambleSet.objects.filter(pk__in=ids), MANY)
    made = [given.a_set(NOON, NOON + timedelta(hours=at + 1), (), series=None) for at in range(6)]
    for count in range(1, 7):
        assert len(prepared([one.pk for one in made[:count]])) == count
        assert 1 <= len(connection.prepared) <= 3


def test_days_have_their_places(member) -> None:
    day = NOON.date()
    for code, due in (("one", day), ("two", day + timedelta(days=1))):
        PracticeDue.objects.create(membership=member, code=code, due_on=due)
    prepared = Prepared(lambda due: PracticeDue.objects.filter(due_on__lte=due), DAY)
    for later, codes in ((-1, set()), (0, {"one"}), (1, {"one", "two"})):
        assert {one.code for one in prepared(day + timedelta(days=later))} == codes


def test_a_change_is_made_once_where_its_rows_are(given, member, second) -> None:
    a_set = given.a_set()
    plans = [given.a_plan(who, a_set, 1, "D' R'", checked=False) for who in (member, second)]
    tried = PreparedChange(
        lambda pk, more, reason: (
            Plan.objects.filter(pk=pk).waiting(),
            {"attempts": F("attempts") + more, "failure_reason": reason},
        ),
        *(LARGE, SMALL, TEXT),
    )
    with CaptureQueriesContext(connection) as captured:
        assert tried(plans[0].pk, 2, "a percent % and a quote '") == 1
    assert len(captured) == 1
    assert tried(plans[0].pk, 1, "again") == 1
    assert tried(0, 1, "none") == 0
    found = Plan.objects.in_bulk([one.pk for one in plans])
    assert [(found[one.pk].attempts, found[one.pk].failure_reason) for one in plans] == [
        (3, "again"),
        (0, ""),
    ]


class TestForViewers:
    """A list of sight, kept for those who coach and for those who do not."""

    def shared(self) -> PreparedFor[ScrambleSet]:
        return PreparedFor(lambda viewer, now: visibility.shared_sets(viewer, now), INSTANT)

    def test_each_sees_what_the_list_shows_them(
        self, given, member, second, coach, outsider
    ) -> None:
        reds = put_in("Reds", second)
        given.a_set()
        given.a_set(series=None).groups.add(reds)
        shared = self.shared()
        counts = {}
        for viewer in (member, second, coach, outsider, member):
            found = shared(viewer, NOON)
            assert found == list(visibility.shared_sets(viewer, NOON))
            assert all(one.known_to == viewer.pk for one in found)
            counts[viewer.display_name] = len(found)
        assert counts == {"Ines": 1, "Bashir": 2, "Kari": 2, "Orla": 0}

    def test_who_is_made_a_coach_later_opens_it_for_nobody_else(
        self, given, member, second, monkeypatch
    ) -> None:
        reds = put_in("Reds", member)
        given.a_set(series=None).groups.add(reds)
        shared = self.shared()
        assert len(shared(member, NOON)) == 1
        member.role = Role.COACH
        # Another thread puts it into SQL anew.
        monkeypatch.setattr(connections["default"], "prepared", {})
        assert shared(second, NOON) == []
        assert len(shared(member, NOON)) == 1

    def test_a_rule_that_asks_for_more_of_a_viewer_is_noticed(self, member) -> None:
        since = PreparedFor(lambda viewer, now: visibility.sets_since_joining(viewer, now), INSTANT)
        with pytest.raises(AttributeError, match="joined_at"):
            since(member, NOON)
