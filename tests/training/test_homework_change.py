"""What the lesson page says of the time since a lesson; the mathematics has tests of its own."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.conftest import NOON, make_membership
from tests.grouping import put_in
from tests.history import BASE_TURN, past
from training.lesson_effect import BeforeAfter, LessonChange, LessonSaid
from training.models import Drawn, Group, GroupTime, Kind, ScrambleSet, TaughtLesson
from training.refusals import InvalidEntry, NotAllowed, Refusal
from training.rules import PickedProfile
from training.selectors.given_lessons import GivenLesson, given_lessons, sharing
from training.selectors.lesson_changes import LessonLooked, change_since
from training.services.erasing import erase_membership
from training.services.taught_lessons import note_lesson, take_back_lesson
from training.statistics import Tally

pytestmark = pytest.mark.django_db

# Scramble, a way that answers, a plan that does not; the second calls for a shared turn (the small
# vectors of the definitions).
SHARED = ("R F", "F' R'", "R' F2 U F")


def weeks(given, people, spans, *, answered) -> None:
    """A random set a week for five crosses of each of two ideas; the shared turn is answered."""
    for week in spans:
        opens = NOON - timedelta(weeks=week, hours=13)
        a_set = ScrambleSet.objects.filter(opens_at=opens).first() or given.a_set(
            opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5 + ("R F",) * 5
        )
        base = BASE_TURN[1] if answered else BASE_TURN[2]
        for who in people:
            past(given, who, a_set, *[base] * 5, *[SHARED[1]] * 5)


@pytest.fixture
def people(club):
    return [make_membership(club, f"M{number}") for number in range(6)]


def a_lesson(given, code, *, weeks_ago):
    opens = NOON - timedelta(weeks=weeks_ago)
    profile = PickedProfile.of_lesson(code, 5, (2, 3))
    return given.a_set(
        opens=opens,
        closes=opens + timedelta(days=1),
        kind=Kind.HOMEWORK,
        drawn=Drawn.PICKED,
        profile=profile.to_json(),
    )


def looked_at(coach, lesson) -> LessonLooked:
    """What is told of the lesson of a set, or of a note."""
    given = given_lessons(coach, NOON)
    return change_since(coach, the_one(given, lesson), given, NOON)


def the_one(given, lesson) -> GivenLesson:
    (found,) = (one for one in given if lesson.pk == (one.set_id or one.note_id))
    return found


BEFORE, LEFT_OUT, SINCE = range(14, 20), range(9, 12), range(1, 8)
"""Weeks ago, of a lesson that was given eight weeks ago."""


def test_what_was_learnt_is_told_against_what_was_not_taught(given, coach, people) -> None:
    weeks(given, people, BEFORE, answered=False)
    weeks(given, people, SINCE, answered=True)
    found = looked_at(coach, a_lesson(given, "base_turn", weeks_ago=8))
    assert isinstance(found.change, LessonChange)
    assert (found.change.members, found.change.taught, found.change.control) == (6, 1, 0)
    assert found.change.said is LessonSaid.BETTER
    # Six members, five crosses a week.
    assert found.taught == BeforeAfter(6, Tally(0, 180), Tally(210, 210))


def test_the_month_that_made_the_coach_choose_is_left_out(given, coach, people) -> None:
    weeks(given, people, LEFT_OUT, answered=False)
    weeks(given, people, SINCE, answered=True)
    found = looked_at(coach, a_lesson(given, "base_turn", weeks_ago=8))
    assert found.change is LessonSaid.TOO_EARLY
    assert found.taught.members == 0


def test_what_was_taught_too_is_no_control(given, coach, people) -> None:
    weeks(given, people, BEFORE, answered=False)
    weeks(given, people, SINCE, answered=True)
    lesson = a_lesson(given, "base_turn", weeks_ago=8)
    a_lesson(given, "shared_turn", weeks_ago=2)
    assert looked_at(coach, lesson).change is LessonSaid.CANNOT_BE_TOLD


def test_who_did_the_homework_stands_beside_who_did_not(given, coach, people) -> None:
    weeks(given, people, BEFORE, answered=False)
    weeks(given, people[:4], SINCE, answered=True)
    weeks(given, people[4:], SINCE, answered=False)
    lesson = a_lesson(given, "base_turn", weeks_ago=8)
    for who in people[:4]:
        past(given, who, lesson, "D' R'")
    found = looked_at(coach, lesson)
    assert found.handed_in == 4
    assert found.did == BeforeAfter(4, Tally(0, 120), Tally(140, 140))
    assert found.did_not == BeforeAfter(2, Tally(0, 60), Tally(0, 70))


def test_homework_that_runs_says_nothing_of_who_did_it(given, coach, people) -> None:
    now_open = a_lesson(given, "base_turn", weeks_ago=0)
    past(given, people[0], now_open, "D' R'")
    found = looked_at(coach, now_open)
    assert (found.did, found.did_not, found.handed_in) == (None, None, 0)


class TestHabits:
    """A habit is counted a plan, and compared with members who were not taught."""

    def plans(self, given, some, spans, *written) -> None:
        for week in spans:
            opens = NOON - timedelta(weeks=week, hours=13)
            a_set = ScrambleSet.objects.filter(opens_at=opens).first() or given.a_set(
                opens=opens,
                closes=opens + timedelta(days=1),
                scrambles=("R D",) * 5,
                colours=["yellow", "white"],
            )
            for who in some:
                past(given, who, a_set, *written)

    def note(self, coach, code, some=None, *, weeks_ago=8):
        day = (NOON - timedelta(weeks=weeks_ago)).date()
        if some is not None:
            GroupTime.objects.filter(membership__in=some).delete()
            group = put_in(f"Level {weeks_ago}", *some)
            return note_lesson(by=coach, code=code, day=day, group=group.name, now=NOON)
        return note_lesson(by=coach, code=code, day=day, now=NOON)

    @pytest.mark.parametrize(
        ("code", "with_it"),
        [("wrong_direction", "D R'"), ("undone_moves", "D' R' U U'")],
    )
    def test_it_is_told_against_who_was_not_taught(
        self, given, coach, people, code, with_it
    ) -> None:
        taught, others = people[:3], people[3:]
        two_of_five = (*[with_it] * 2, *["D' R'"] * 3)
        self.plans(given, people, BEFORE, *two_of_five)
        self.plans(given, taught, SINCE, *["D' R'"] * 5)
        self.plans(given, others, SINCE, *two_of_five)
        found = looked_at(coach, self.note(coach, code, taught))
        assert isinstance(found.change, LessonChange)
        assert (found.change.members, found.change.control) == (3, 0)
        assert found.change.taught == pytest.approx(0.4)
        assert found.change.said is LessonSaid.BETTER
        # Plans without it, of all.
        assert (found.taught.before, found.taught.after) == (Tally(54, 90), Tally(105, 105))

    def test_with_everybody_taught_it_cannot_be_told(self, given, coach, people) -> None:
        self.plans(given, people, BEFORE, *["D R'"] * 5)
        self.plans(given, people, SINCE, *["D' R'"] * 5)
        found = looked_at(coach, self.note(coach, "wrong_direction"))
        assert found.change is LessonSaid.CANNOT_BE_TOLD
        assert (found.taught.before, found.taught.after) == (Tally(0, 180), Tally(210, 210))

    def test_one_other_is_nobody_to_compare_with(self, given, coach, people) -> None:
        self.plans(given, people, BEFORE, *["D R'"] * 5)
        self.plans(given, people, SINCE, *["D' R'"] * 5)
        found = looked_at(coach, self.note(coach, "wrong_direction", people[:5]))
        assert found.change is LessonSaid.CANNOT_BE_TOLD

    def test_who_was_taught_the_same_another_day_is_no_control(self, given, coach, people) -> None:
        self.plans(given, people, BEFORE, *["D R'"] * 5)
        self.plans(given, people, SINCE, *["D' R'"] * 5)
        lesson = self.note(coach, "wrong_direction", people[:3])
        assert isinstance(looked_at(coach, lesson).change, LessonChange)
        self.note(coach, "wrong_direction", people[3:], weeks_ago=3)
        assert looked_at(coach, lesson).change is LessonSaid.CANNOT_BE_TOLD

    def test_a_choice_of_colour_needs_two_colours(self, given, coach, people) -> None:
        self.plans(given, people[:2], BEFORE, "D' R'")
        lesson = self.note(coach, "colour_choice")
        for a_set in ScrambleSet.objects.all():
            a_set.colours = ["yellow"]
            a_set.save()
        self.plans(given, people[:2], SINCE, "D' R'")
        assert looked_at(coach, lesson).taught.members == 0
        ScrambleSet.objects.update(colours=["white", "yellow"])
        assert looked_at(coach, lesson).taught.members == 2

    def test_no_plan_is_no_opportunity_for_a_slip(self, given, coach, people) -> None:
        self.plans(given, people[:1], BEFORE, "D R'", None)
        self.plans(given, people[:1], SINCE, "D' R'", None)
        found = looked_at(coach, self.note(coach, "wrong_direction")).taught
        assert (found.before, found.after) == (Tally(0, 6), Tally(7, 7))


class TestOverlapping:
    def test_a_lesson_of_the_same_weeks_is_named(self, given, coach, people) -> None:
        lesson = a_lesson(given, "base_turn", weeks_ago=8)
        beside = [
            a_lesson(given, "shared_turn", weeks_ago=11),
            a_lesson(given, "base_turn", weeks_ago=1),
        ]
        a_lesson(given, "shared_turn", weeks_ago=12)
        given_all = given_lessons(coach, NOON)
        found = sharing(the_one(given_all, lesson), given_all)
        assert {one.set_id for one in found} == {one.pk for one in beside}

    def test_not_one_that_nobody_of_these_was_taught(self, coach, people) -> None:
        notes = TestHabits()
        first = notes.note(coach, "mirrored", people[:3])
        notes.note(coach, "undone_moves", people[3:], weeks_ago=7)
        given_all = given_lessons(coach, NOON)
        assert sharing(the_one(given_all, first), given_all) == ()
        notes.note(coach, "undone_moves", weeks_ago=6)
        given_all = given_lessons(coach, NOON)
        assert [one.code for one in sharing(the_one(given_all, first), given_all)] == [
            "undone_moves"
        ]

    def test_one_to_come_is_not_given(self, given, coach) -> None:
        later = NOON + timedelta(days=1)
        given.a_set(
            opens=later,
            closes=later + timedelta(days=1),
            kind=Kind.HOMEWORK,
            drawn=Drawn.PICKED,
            profile=PickedProfile.of_lesson("base_turn", 5, (2, 3)).to_json(),
        )
        assert given_lessons(coach, NOON) == ()


class TestNotes:
    def test_who_is_taught_is_the_group_of_that_moment(self, club, coach, people) -> None:
        lesson = TestHabits().note(coach, "mirrored", people[:2])
        put_in(Group.objects.get(), people[5])
        assert set(lesson.members.all()) == set(people[:2])

    def test_what_cannot_be_is_refused(self, coach, member, people) -> None:
        today = NOON.date()
        for wrong in (
            {"code": "base_turn", "day": today},
            {"code": "mirrored", "day": today + timedelta(days=1)},
            {"code": "mirrored", "day": date(1, 1, 1)},
            {"code": "mirrored", "day": today, "group": "nobody's"},
        ):
            with pytest.raises(InvalidEntry):
                note_lesson(by=coach, now=NOON, **wrong)
        with pytest.raises(NotAllowed):
            note_lesson(by=member, code="mirrored", day=today, now=NOON)
        assert not TaughtLesson.objects.exists()

    def test_the_same_is_noted_once(self, coach, people) -> None:
        day = NOON.date()
        note_lesson(by=coach, code="mirrored", day=day, now=NOON)
        with pytest.raises(InvalidEntry, match="noted already"):
            note_lesson(by=coach, code="mirrored", day=day, now=NOON)
        assert TaughtLesson.objects.count() == 1

    def test_a_note_is_taken_back_by_coaches_of_the_club_alone(
        self, coach, member, outsider, people
    ) -> None:
        lesson = note_lesson(by=coach, code="mirrored", day=NOON.date(), now=NOON)
        for who, refusal in ((member, NotAllowed), (outsider, Refusal)):
            with pytest.raises(refusal):
                take_back_lesson(by=who, lesson_id=lesson.pk)
        take_back_lesson(by=coach, lesson_id=lesson.pk)
        with pytest.raises(InvalidEntry, match="already"):
            take_back_lesson(by=coach, lesson_id=lesson.pk)

    def test_who_is_erased_is_in_no_note(self, coach, people) -> None:
        lesson = note_lesson(by=coach, code="mirrored", day=NOON.date(), now=NOON)
        erase_membership(by=coach, membership=people[0], typed="M0", now=NOON)
        assert lesson.members.count() == len(people) - 1
