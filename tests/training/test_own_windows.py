"""A set open longer for some: who may plan, what waits for the last window, how it ends."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.conftest import NOON, make_membership
from tests.training.challenged import a_challenge, planned
from tests.web.conftest import reader_for, words
from training import refusals, visibility, windows
from training.entry import Entry
from training.models import OwnWindow, Role, ScrambleSet
from training.rules import Sight
from training.selectors import plans, tables
from training.selectors.calendar_events import calendar_of
from training.selectors.challenge_views import challenge_view
from training.selectors.coach import set_overview
from training.selectors.corrections import notes_of
from training.selectors.own_windows import windows_to_come
from training.selectors.still_to_come import open_sets
from training.services import afterwards, corrections
from training.services.correction_states import differences_of_set
from training.services.plans import hand_in
from training.visibility import OwnPlans

pytestmark = pytest.mark.django_db

HOUR = timedelta(hours=1)
CLOSES = NOON + 11 * HOUR
"""When the tests' set was to close."""


@pytest.fixture
def late(given, coach, member, second) -> ScrambleSet:
    """Today's set, an hour longer for Ines alone; Bashir is in it, too."""
    made = given.a_set(answers_to=Sight.CLOSING, table_to=Sight.CLOSING)
    keep(made, coach, member)
    made.refresh_from_db()
    return made


def keep(one, coach, *members):
    return corrections.keep_open(
        scramble_set=one,
        until=CLOSES + HOUR,
        by=coach,
        reason="power cut",
        members=members,
        now=NOON,
    )


def try_to_plan(given, who, one, number, now):
    return hand_in(
        membership=who,
        scramble=given.scramble(one, number),
        entry=Entry(written="D' R'"),
        key=uuid.uuid4(),
        now=now,
    )


def test_only_they_may_plan_after_it_was_to_close(given, late, member, second) -> None:
    before = CLOSES - timedelta(seconds=1)
    try_to_plan(given, second, late, 1, before)
    for now in (CLOSES, CLOSES + HOUR - timedelta(seconds=1)):
        with pytest.raises(refusals.SetClosed, match="open longer for somebody else"):
            try_to_plan(given, second, late, 2, now)
    try_to_plan(given, member, late, 1, CLOSES)
    try_to_plan(given, member, late, 2, CLOSES + HOUR - timedelta(seconds=1))
    for who in (member, second):
        with pytest.raises(refusals.SetClosed, match="has closed"):
            try_to_plan(given, who, late, 3, CLOSES + HOUR)


def test_answers_after_closing_open_after_the_last_window(given, late, member, second) -> None:
    own = OwnPlans(frozenset({1}), frozenset({1, 2, 3, 4, 5}))
    for who in (member, second):
        for now, seen in ((CLOSES, False), (CLOSES + HOUR, True)):
            assert visibility.sees_answers(who, late, 1, own, now) is seen
            assert visibility.sees_table(who, late, own, now) is seen


def test_others_read_that_it_is_closed_for_them(given, late, member, second) -> None:
    state = {
        who.display_name: plans.set_for(who, late.pk, CLOSES).scrambles[0].state.name
        for who in (member, second)
    }
    assert state == {"Ines": "TO_PLAN", "Bashir": "MISSED"}
    assert plans.set_for(second, late.pk, CLOSES).head.closed_to_reader
    assert not plans.set_for(member, late.pk, CLOSES).head.closed_to_reader
    assert not plans.set_for(second, late.pk, NOON).head.closed_to_reader


def test_missing_plans_count_from_the_last_closing_on(given, late, coach, member, second) -> None:
    given.a_plan(second, late, 1, "D' R'")
    given.a_plan(member, late, 1, "D' R'", at=CLOSES)

    while_open = tables.set_table(coach, late.pk, CLOSES)
    assert (while_open.rows, while_open.so_far) == ((), True)
    assert {row.member for row in while_open.under_way} == {"Ines", "Bashir"}
    after = tables.set_table(coach, late.pk, CLOSES + HOUR)
    assert {row.member: row.score.points for row in after.rows} == {"Ines": 32, "Bashir": 32}
    assert not after.so_far


def test_the_set_keeps_its_day_and_verify_agrees(late, coach) -> None:
    assert late.due_at == CLOSES
    assert late.closes_at == CLOSES + HOUR
    assert differences_of_set(late.pk) == []
    assert notes_of([late.pk])[0].for_some


def test_taken_back_it_closes_for_all_as_it_was(given, late, coach, member) -> None:
    entry = late.corrections.get()
    corrections.undo(correction=entry, by=coach, reason="not so", now=NOON + HOUR)
    late.refresh_from_db()
    assert (late.closes_at, late.kept_open_from) == (CLOSES, None)
    assert differences_of_set(late.pk) == []
    with pytest.raises(refusals.SetClosed):
        try_to_plan(given, member, late, 1, CLOSES)
    assert not windows.may_still_plan(member, late, CLOSES)


def test_kept_open_without_names_it_is_open_for_all(given, coach, member, second) -> None:
    one = given.a_set()
    keep(one, coach)
    for who in (member, second):
        try_to_plan(given, who, one, 1, CLOSES)


def test_somebody_of_another_club_gets_no_window(given, coach, member, outsider) -> None:
    one = given.a_set()
    keep(one, coach, member, outsider)
    assert [row.membership for row in OwnWindow.objects.all()] == [member]


def test_still_to_come_are_those_alone_who_may_still(late, coach, member, second) -> None:
    def missing(now):
        return [each.member for each in open_sets(coach, now)[0].missing]

    assert missing(NOON) == ["Bashir", "Ines"]
    assert missing(CLOSES) == ["Ines"]


def test_a_set_within_its_time_costs_no_query_more(
    given, late, member, django_assert_num_queries
) -> None:
    with django_assert_num_queries(0):
        assert windows.named_for([late], NOON) == {}
    with django_assert_num_queries(1):
        assert windows.named_for([late], CLOSES) == {late.pk: frozenset({member.pk})}


# At another hour ---------------------------------------------------------------------------

BEGINS = CLOSES + 2 * HOUR
UNTIL = CLOSES + 4 * HOUR
BEFORE = (NOON + HOUR, CLOSES, BEGINS - timedelta(seconds=1))
"""Instants at which the set is sealed for Ines: while others plan, and after."""


@pytest.fixture
def at_another_hour(given, coach, member, second) -> ScrambleSet:
    """Today's set, which Ines plans two hours after it has closed for the others."""
    made = given.a_set(answers_to=Sight.OWN_PLAN, table_to=Sight.OWN_PLAN)
    give_hour(made, coach, member)
    made.refresh_from_db()
    return made


def give_hour(one, coach, *members, begins=BEGINS, until=UNTIL, now=NOON):
    return corrections.keep_open(
        scramble_set=one,
        until=until,
        by=coach,
        reason="at a school fair",
        members=members,
        begins=begins,
        now=now,
    )


def test_until_it_begins_for_them_nothing_of_it_is_there(
    given, at_another_hour, coach, member, second
) -> None:
    for number in range(1, 6):
        given.a_plan(second, at_another_hour, number, "D' R'")
    for now in BEFORE:
        assert plans.sets_now(member, now) == []
        for look in (plans.set_for, tables.set_table):
            with pytest.raises(visibility.Sealed):
                look(member, at_another_hour.pk, now)
        with pytest.raises(visibility.Sealed):
            plans.scramble_for(member, at_another_hour.pk, 1, now)
        with pytest.raises(visibility.Sealed):
            try_to_plan(given, member, at_another_hour, 1, now)
        day = tables.day_table(member, at_another_hour.day, now)
        assert at_another_hour.pk not in {one.id for one in day.sets}
    # The others read it as ever, and the coaches.
    assert plans.set_for(second, at_another_hour.pk, NOON + HOUR).head.id == at_another_hour.pk
    told = tables.set_table(coach, at_another_hour.pk, NOON + HOUR)
    assert "Bashir" in {one.member for one in (*told.rows, *told.under_way)}


def test_from_then_on_it_is_theirs_until_it_closes(given, at_another_hour, member, second) -> None:
    for now in (BEGINS, UNTIL - timedelta(seconds=1)):
        assert [one.head.id for one in plans.sets_now(member, now)] == [at_another_hour.pk]
    try_to_plan(given, member, at_another_hour, 1, BEGINS)
    try_to_plan(given, member, at_another_hour, 2, UNTIL - timedelta(seconds=1))
    with pytest.raises(refusals.SetClosed):
        try_to_plan(given, second, at_another_hour, 1, BEGINS)
    with pytest.raises(refusals.SetClosed):
        try_to_plan(given, member, at_another_hour, 3, UNTIL)


def test_answers_after_closing_wait_for_that_hour(given, coach, member, second) -> None:
    made = given.a_set(answers_to=Sight.CLOSING, table_to=Sight.CLOSING)
    give_hour(made, coach, member)
    made.refresh_from_db()
    own = OwnPlans(frozenset({1}), frozenset({1, 2, 3, 4, 5}))
    for now, seen in ((CLOSES, False), (BEGINS, False), (UNTIL, True)):
        assert visibility.sees_answers(second, made, 1, own, now) is seen
        assert visibility.sees_table(second, made, own, now) is seen


def test_it_is_afterwards_for_all_once_that_hour_is_over(at_another_hour, member, second) -> None:
    for who in (member, second):
        with pytest.raises((refusals.NoLongerPossible, visibility.Sealed)):
            plan_afterwards(who, at_another_hour, BEGINS - timedelta(seconds=1))
        assert plan_afterwards(who, at_another_hour, UNTIL)


def plan_afterwards(who, one, now):
    return afterwards.plan_afterwards(membership=who, scramble_set=one, now=now)


def test_what_they_miss_counts_once_that_hour_is_over(
    given, at_another_hour, coach, member
) -> None:
    given.a_plan(member, at_another_hour, 1, "D' R'", at=BEGINS)
    assert tables.set_table(coach, at_another_hour.pk, BEGINS).rows == ()
    after = tables.set_table(coach, at_another_hour.pk, UNTIL)
    assert {row.member: row.score.points for row in after.rows}["Ines"] == 32


def test_taken_back_it_is_open_for_them_as_for_all(given, at_another_hour, coach, member) -> None:
    entry = at_another_hour.corrections.get()
    corrections.undo(correction=entry, by=coach, reason="not so", now=NOON + HOUR)
    assert [one.head.id for one in plans.sets_now(member, NOON + HOUR)] == [at_another_hour.pk]
    try_to_plan(given, member, at_another_hour, 1, NOON + HOUR)
    assert windows_to_come(member, NOON + HOUR) == ()


def test_whoever_has_begun_gets_no_other_hour(given, coach, member, second) -> None:
    made = given.a_set()
    given.a_plan(member, made, 1, "D' R'")
    with pytest.raises(refusals.InvalidEntry, match="has read the set"):
        give_hour(made, coach, second, member)
    assert not OwnWindow.objects.exists()
    assert not made.corrections.exists()


@pytest.mark.parametrize("begins", [NOON - HOUR, NOON, UNTIL, UNTIL + HOUR])
def test_that_hour_lies_ahead_and_before_its_end(given, coach, member, begins) -> None:
    with pytest.raises(refusals.InvalidEntry, match="later than now") as refused:
        give_hour(given.a_set(), coach, member, begins=begins)
    assert refused.value.field == "begins"


def test_another_hour_is_for_somebody(given, coach) -> None:
    with pytest.raises(refusals.InvalidEntry) as refused:
        give_hour(given.a_set(), coach)
    assert refused.value.field == "members"


def test_a_coach_who_competes_waits_too(given, club, coach) -> None:
    rival = make_membership(club, "Runa", Role.COACH, competes=True)
    made = given.a_set()
    give_hour(made, coach, rival)
    for look in (plans.set_for, set_overview):
        with pytest.raises(visibility.Sealed):
            look(rival, made.pk, CLOSES)
    assert plans.set_for(coach, made.pk, CLOSES).head.id == made.pk


def test_they_read_when_it_opens_for_them(clock, at_another_hour, member, second) -> None:
    told = windows_to_come(member, NOON)
    assert [(one.opens_at, one.closes_at) for one in told] == [(BEGINS, UNTIL)]
    assert windows_to_come(second, NOON) == ()
    assert windows_to_come(member, BEGINS) == ()
    events = [one for one in calendar_of(member, NOON).sets if one.opens_at == BEGINS]
    assert [one.closes_at for one in events] == [UNTIL]
    page = words(reader_for(member).get("/c/lantern-street/today/"))
    # Oslo is an hour ahead of UTC in winter: the set closes at midnight for the others.
    assert "it opens for you tomorrow at 02:00 and closes tomorrow at 04:00" in page


def test_a_challenge_says_so_and_shows_nothing_else(
    clock, club, given, coach, member, second
) -> None:
    clock(NOON + HOUR)
    one = a_challenge(club, opens=NOON - HOUR, closes=CLOSES)
    give_hour(one.scramble_set, coach, member)
    planned(given, one, second, ["D' R'", "D' R'"])
    view = challenge_view(member, one.pk, NOON + HOUR)
    assert view.opens_for_you_at == BEGINS
    assert (view.lines, view.numbers, view.to_plan, view.table_open) == ((), (), (), False)
    page = words(reader_for(member).get(f"/c/lantern-street/challenges/{one.pk}/"))
    assert "It opens for you tomorrow at 02:00." in page
    assert "Its scrambles" not in page
    assert challenge_view(member, one.pk, BEGINS).to_plan == (1, 2)


def test_a_list_of_sets_asks_no_more_for_it(given, coach, member) -> None:
    def queries():
        with CaptureQueriesContext(connection) as caught:
            plans.sets_now(member, NOON + HOUR)
        return len(caught)

    made = given.a_set()
    before = queries()
    keep(made, coach)
    # Of a set that is kept open it is asked once whether that is for the reader.
    assert queries() <= before + 1
