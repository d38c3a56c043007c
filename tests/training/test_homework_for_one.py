"""Homework for one member, and for a group: who has it, who reads it, where it counts.

The rules are the product's own (no outside source).
"""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from tests.grouping import put_in
from tests.history import weeks_of_plans
from tests.web.conftest import ROOT, reader_for, seen
from training.entry import Entry
from training.models import Kind, Scramble, ScrambleSet
from training.refusals import NotAllowed
from training.selectors import coach as of_coach
from training.selectors import tables
from training.selectors.given_lessons import given_lessons
from training.selectors.own_homework import homework_for_one
from training.selectors.plans import sets_now
from training.services import summaries
from training.services.lesson_sets import make_homework
from training.services.plans import hand_in
from training.visibility import Sealed

TODAY = NOON.date()


@pytest.fixture(autouse=True)
def _noon(clock) -> None:
    clock(NOON)


def homework(by, **whom) -> ScrambleSet:
    made = make_homework(
        by=by,
        code="base_turn",
        scrambles=2,
        lengths=(4, 6),
        opens_day=TODAY,
        days=7,
        now=NOON,
        **whom,
    )
    Scramble.objects.bulk_create(
        Scramble(scramble_set=made, number=n, text=text)
        for n, text in enumerate(("R D", "D R"), start=1)
    )
    return made


def plan(who, made, written="D' R'"):
    scramble = made.scrambles.select_related("scramble_set__club").first()
    return hand_in(
        membership=who, scramble=scramble, entry=Entry(written), key=uuid.uuid4(), now=NOON
    )


def test_one_member_has_it_coaches_read_it_and_nobody_else_sees_anything(
    club, coach, member, second
) -> None:
    made = homework(coach, member=member)
    assert [one.head.id for one in sets_now(member, NOON)] == [made.pk]
    assert sets_now(second, NOON) == sets_now(coach, NOON) == []
    plan(member, made)
    for other in (second, coach):
        with pytest.raises(Sealed):
            plan(other, made)
    with pytest.raises(Sealed):
        tables.set_table(second, made.pk, NOON)
    day = of_coach.set_overview(coach, made.pk, NOON)
    assert [one.membership_id for one in (*day.handed_in, *day.missing)] == [member.pk]
    racing = make_membership(club, "Rune", "coach", competes=True)
    assert of_coach.set_overview(racing, made.pk, NOON).plans_open


def test_it_has_a_table_of_its_own_and_stands_in_no_other(given, coach, member, second) -> None:
    made = homework(coach, member=member)
    given.a_plan(member, made, 1, "D' R'")
    later = made.closes_at + timedelta(hours=1)
    table = tables.set_table(coach, made.pk, later)
    assert [one.membership_id for one in table.rows] == [member.pk]
    assert tables.week_table(coach, made.closes_at.date(), later).sets == ()
    assert tables.all_time_table(coach, later).sets == ()
    assert summaries.differences() == []


def test_it_is_a_lesson_of_that_member_alone(coach, member) -> None:
    homework(coach, member=member)
    (lesson,) = given_lessons(coach, NOON + timedelta(seconds=1))
    assert lesson.members == {member.pk}


def test_for_a_group_it_is_a_lesson_of_who_belongs(club, coach, member, second) -> None:
    builders = put_in("Builders", member, since=NOON - timedelta(days=60))
    made = homework(coach, groups=[builders])
    assert [one.head.id for one in sets_now(member, NOON)] == [made.pk]
    assert sets_now(second, NOON) == []
    (lesson,) = given_lessons(coach, NOON + timedelta(seconds=1))
    assert lesson.members == {member.pk}


def test_another_club_s_member_gets_none(coach, outsider) -> None:
    with pytest.raises(NotAllowed):
        homework(coach, member=outsider)


def test_the_idea_that_costs_most_is_named_with_its_evidence(given, club, coach, member) -> None:
    for one in (member, make_membership(club, "Bo")):
        weeks_of_plans(given, one, 7, answered=one != member)
    found = homework_for_one(coach, member.pk, NOON)
    assert found.dearest is not None
    assert found.dearest.points == max(one.points for one in found.costs)
    page = seen(reader_for(coach).get(f"{ROOT}/coach/members/{member.pk}/homework/"))
    assert "Of all ideas, base turn costs Ines most." in page
    tally = found.dearest.tally
    assert "Up to now, in random sets that closed in the last 8 weeks, it cost" in page
    assert f"called for in {tally.called} plans, answered in {tally.answered}." in page


def test_it_is_given_on_the_page_and_seen_under_today(club, coach, member) -> None:
    page = f"{ROOT}/coach/members/{member.pk}/homework/"
    assert "No idea has cost Ines anything that is known." in seen(reader_for(coach).get(page))
    entered = {
        "code": "base_turn",
        "scrambles": 2,
        "shortest": 4,
        "longest": 6,
        "opens_day": "2026-11-25",
        "days": 7,
    }
    reader_for(coach).post(page, entered, status=302)
    made = ScrambleSet.objects.get()
    assert (made.kind, made.for_member) == (Kind.HOMEWORK, member)
    assert "Homework for one member alone" in seen(reader_for(member).get(f"{ROOT}/today/"))
    late = {**entered, "opens_day": "2026-11-28"}
    reader_for(coach).post(page, late, status=302)
    to_come = ScrambleSet.objects.latest("pk")
    assert "Call it off" in seen(reader_for(coach).get(page))
    reader_for(coach).post(page, {"call_off": to_come.pk}, status=302)
    assert ScrambleSet.objects.get() == made
