"""A set open longer for some: who may plan, what waits for the last window, how it ends."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest

from tests.conftest import NOON
from training import refusals, visibility, windows
from training.entry import Entry
from training.models import OwnWindow, ScrambleSet
from training.rules import Sight
from training.selectors import plans, tables
from training.selectors.corrections import notes_of
from training.selectors.still_to_come import open_sets
from training.services import corrections
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
