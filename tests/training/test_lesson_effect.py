"""Before and after a lesson, by difference of differences.

Sources: Cochran 1954, Biometrics 10:417-451, weights of stratified differences, recomputed here by
hand; the rest are the project's own rules (controls, windows, wording).
"""

import random
from datetime import date, timedelta

import pytest

from training.lesson_effect import Answer, LessonChange, LessonSaid, change_of, windows


def answers(member, about, taught, before, after, *, first=0):
    """``before``, ``after``: (answered, called); a scramble each, the same for everybody."""
    return [
        Answer(member, about, first + place, late, taught, place < answered)
        for late, (answered, called) in ((False, before), (True, after))
        for place in range(called)
    ]


def club(members=6, before=8, after=16, control=(10, 10), called=20):
    found = []
    for member in range(members):
        for about, taught, pair in (("a", True, (before, after)), ("b", False, control)):
            for late, answered in enumerate(pair):
                marks = [True] * answered + [False] * (called - answered)
                random.Random(f"{member} {about} {late}").shuffle(marks)
                found += [
                    Answer(member, about, 100 * late + place, bool(late), taught, good)
                    for place, good in enumerate(marks)
                ]
    return found


def test_a_change_is_that_of_what_was_taught_less_that_of_the_control():
    found = change_of(club(control=(10, 12)))
    assert isinstance(found, LessonChange)
    assert (found.members, found.taught, found.control) == (
        6,
        pytest.approx(0.4),
        pytest.approx(0.1),
    )
    assert found.difference.rate == pytest.approx(0.3)
    assert found.difference.low < 0.3 < found.difference.high
    assert found.said is LessonSaid.BETTER


def test_better_is_said_of_nothing_that_the_control_does_too():
    assert change_of(club(control=(6, 14))).said is LessonSaid.TOO_EARLY
    assert change_of(club(before=16, after=8)).said is LessonSaid.TOO_EARLY


def test_changes_are_weighed_within_members():
    """Two members, 10 and 10 against 20 and 30 opportunities: weights 5 and 12."""
    found = change_of(
        [
            *answers(1, "a", True, (5, 10), (7, 10)),
            *answers(2, "a", True, (10, 20), (27, 30)),
            *answers(1, "b", False, (10, 20), (10, 20)),
            *answers(2, "b", False, (10, 20), (10, 20)),
        ]
    )
    assert found.taught == pytest.approx((5 * 0.2 + 12 * 0.4) / 17)


def test_who_planned_in_one_window_only_says_nothing():
    more = [one for one in answers(77, "a", True, (20, 20), (0, 20)) if not one.after]
    assert change_of(club() + more) == change_of(club())


def test_without_a_control_it_cannot_be_told():
    alone = [one for one in club() if one.taught]
    assert change_of(alone) is LessonSaid.CANNOT_BE_TOLD
    # Nineteen opportunities in one window are no control; twenty are.
    few = alone + answers(1, "b", False, (9, 19), (10, 25))
    assert change_of(few) is LessonSaid.CANNOT_BE_TOLD
    enough = alone + answers(1, "b", False, (9, 20), (10, 25))
    assert isinstance(change_of(enough), LessonChange)


def test_members_not_taught_are_the_control_of_a_habit():
    habit = [
        *(one._replace(about="undone_moves") for one in club() if one.taught),
        *(
            one._replace(about="undone_moves", member=50 + one.member)
            for one in club()
            if not one.taught
        ),
    ]
    found = change_of(habit)
    assert (found.members, found.control) == (6, pytest.approx(0))
    assert found.said is LessonSaid.BETTER


def test_nothing_is_claimed_of_one_member_nor_of_few_scrambles():
    assert change_of([]) is LessonSaid.TOO_EARLY
    control = [
        *answers(1, "b", False, (10, 20), (10, 20)),
        *answers(2, "b", False, (10, 20), (10, 20)),
    ]
    assert change_of(answers(1, "a", True, (0, 30), (30, 30)) + control) is LessonSaid.TOO_EARLY
    few = [*answers(1, "a", True, (0, 9), (9, 9)), *answers(2, "a", True, (0, 9), (9, 9))]
    assert change_of(few + control) is LessonSaid.TOO_EARLY


def test_the_month_that_made_the_coach_choose_is_in_neither_window():
    taught = date(2026, 11, 23)
    found = windows(taught)
    weeks = [taught + timedelta(weeks=week) for week in range(-13, 2)]
    assert [found.after(day) for day in weeks] == ([None] + [False] * 8 + [None] * 4 + [True] * 2)
