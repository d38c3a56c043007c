"""What lesson, chooser and review say of clubs of every kind: nothing that is not so."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from tests.conftest import NOON, Given, make_membership
from tests.history import BASE_TURN, past, weeks_of_plans
from tests.web.conftest import ROOT, reader_for, seen
from training.models import Club, Drawn, Kind, Membership, ScrambleSet
from training.rules import PickedProfile
from training.services.taught_lessons import note_lesson

LESSON, REVIEW = f"{ROOT}/coach/lessons/base_turn/", f"{ROOT}/coach/review/"
SLIP = f"{ROOT}/coach/lessons/wrong_direction/"
MONDAY = NOON + timedelta(days=5)

pytestmark = pytest.mark.usefixtures("monday")


@pytest.fixture
def monday(clock: Callable[[datetime], None]) -> None:
    """The first look that sees what closed this week."""
    clock(MONDAY)


@pytest.fixture
def five(club: Club) -> list[Membership]:
    return [make_membership(club, f"M{number}") for number in range(5)]


def main(coach: Membership, path: str) -> str:
    page = reader_for(coach).get(path)
    return seen(page.partition("<main")[2].partition("<footer")[0])


def homework(given: Given, *, days_ago: int) -> ScrambleSet:
    opens = NOON - timedelta(days=days_ago, hours=13)
    return given.a_set(
        opens=opens,
        closes=opens + timedelta(days=1),
        scrambles=(BASE_TURN[0],),
        kind=Kind.HOMEWORK,
        drawn=Drawn.PICKED,
        profile=PickedProfile.of_lesson("base_turn", 1, (2, 3)).to_json(),
    )


class TestNobodyAnswered:
    def test_a_shortest_way_is_told_where_nobody_is_a_model(
        self, given: Given, coach: Membership, five: list[Membership]
    ) -> None:
        for one in five:
            weeks_of_plans(given, one, 1, answered=False)
        said = main(coach, LESSON)
        assert "answered it" not in said
        assert "A shortest way: no exact plan of the group has the idea" in said
        assert "That is a base turn: the gap comes to the edge." in said
        assert "The cross is done." in said
        # Nor does it name anybody, and the whole group is said to learn it.
        assert "The whole group is learning it: below the target of 70 in 100." in said

    def test_a_way_that_lost_moves_elsewhere_is_not_held_up(
        self, given: Given, coach: Membership, five: list[Membership]
    ) -> None:
        weeks_of_plans(given, five[0], 1, True, (BASE_TURN[0], "U D' U' R'", BASE_TURN[2]))
        weeks_of_plans(given, five[1], 1, answered=False)
        said = main(coach, LESSON)
        assert "answered it" not in said
        assert "A shortest way" in said


class TestAllAnswered:
    def test_who_is_strong_needs_no_more_evidence(
        self, given: Given, coach: Membership, five: list[Membership]
    ) -> None:
        for one in five:
            weeks_of_plans(given, one, 4, answered=True)
        said = main(coach, LESSON)
        assert "There is not enough evidence yet of who needs it." not in said
        assert "Nobody is known to need it: 5 of 5 members are strong in it." in said
        assert "No plan of the last weeks lost a move to this idea." in said
        review = main(coach, REVIEW)
        assert "Nothing stands out for a lesson" in review
        assert re.search(r"base turn 0 100 of 100 .{0,80}5 of 5 members are strong", review)

    def test_some_are_strong_and_of_others_little_is_known(
        self, given: Given, coach: Membership, five: list[Membership]
    ) -> None:
        for one in five[:3]:
            weeks_of_plans(given, one, 4, answered=True)
        said = main(coach, LESSON)
        assert "Nobody is known to need it: 3 of 5 members are strong in it." in said


def test_with_no_plan_there_is_no_evidence(coach: Membership, five: list[Membership]) -> None:
    said = main(coach, LESSON)
    assert "There is not enough evidence yet of who needs it." in said
    assert "It was not called for in the eight weeks up to Monday 30 November." in said
    assert "strong" not in said
    assert "0 moves lost" not in said


def test_a_club_of_one_is_never_told_that_a_lesson_helped(
    given: Given, coach: Membership, member: Membership
) -> None:
    for week in range(20):
        opens = NOON - timedelta(weeks=week, hours=13)
        a_set = given.a_set(
            opens=opens,
            closes=opens + timedelta(days=1),
            scrambles=("R D",) * 5 + ("R F",) * 5,
        )
        past(given, member, a_set, *[BASE_TURN[1 if week < 7 else 2]] * 5, *["F' R'"] * 5)
    homework(given, days_ago=51)
    said = main(coach, LESSON)
    assert "likely better" not in said
    assert "too early to tell" in said
    assert "Nobody handed in for it." in said


class TestHomework:
    def test_none_given(self, given: Given, coach: Membership, five: list[Membership]) -> None:
        weeks_of_plans(given, five[0], 1, answered=False)
        said = main(coach, LESSON)
        assert "Given already" not in said
        assert "handed in for it" not in said

    def test_handed_in_by_nobody_by_all_and_by_some(
        self, given: Given, coach: Membership, five: list[Membership]
    ) -> None:
        for days in (40, 41, 42, 2, 3, 4):
            opens = NOON - timedelta(days=days, hours=13)
            a_set = given.a_set(
                opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5
            )
            for one in five:
                past(given, one, a_set, *[BASE_TURN[1 if days < 9 else 2]] * 5)
        given_set = homework(given, days_ago=5)
        said = main(coach, LESSON)
        assert "none yet 0 of 75 75 of 75" in said
        assert "Nobody handed in for it." in said
        assert "proves nothing" not in said
        past(given, five[0], given_set, "D' R'")
        said = main(coach, LESSON)
        assert (
            "Who handed in for it: 1 member, 0 of 15 before and 15 of 15 since. Who did not: "
            "4 members, 0 of 60 before and 60 of 60 since. That proves nothing" in said
        )
        for one in five[1:]:
            past(given, one, given_set, "D' R'")
        said = main(coach, LESSON)
        assert "5 members handed in for it. There is nobody to set beside them yet." in said
        assert "proves nothing" not in said


class TestLessonsOfTheSameWeeks:
    def test_two_are_named_together_on_both_pages(
        self, given: Given, coach: Membership, five: list[Membership]
    ) -> None:
        homework(given, days_ago=5)
        day = (NOON - timedelta(days=7)).date()
        note_lesson(by=coach, code="wrong_direction", day=day, now=MONDAY)
        assert (
            "In the same weeks: a turn the wrong way (Wednesday 18 November). "
            "A change may be due to either." in main(coach, LESSON)
        )
        assert (
            "In the same weeks: base turn (Friday 20 November). "
            "A change may be due to either." in main(coach, SLIP)
        )

    def test_three_are_too(self, given: Given, coach: Membership, five: list[Membership]) -> None:
        homework(given, days_ago=5)
        for code in ("wrong_direction", "mirrored"):
            note_lesson(by=coach, code=code, day=NOON.date(), now=MONDAY)
        assert "A change may be due to any of them." in main(coach, LESSON)


class TestSlips:
    def test_a_plan_stands_where_its_points_stand(
        self, given: Given, coach: Membership, five: list[Membership]
    ) -> None:
        """A plan that two slips would explain costs points in one place, and is shown there."""
        opens = NOON - timedelta(days=1, hours=13)
        a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 2)
        # Each with a move missing, or a layer wrong; the second perhaps its last move.
        past(given, five[0], a_set, "U R'", "D' U")
        for code in ("wrong_direction", "last_move_missing", "move_missing", "wrong_layer"):
            said = main(coach, f"{ROOT}/coach/lessons/{code}/")
            costs_nothing = "It cost nobody a point" in said
            assert ("No plan of the last weeks shows it." in said) == costs_nothing, code
            assert costs_nothing == (code != "move_missing")

    def test_before_and_since_are_plans_with_it(
        self, given: Given, coach: Membership, five: list[Membership]
    ) -> None:
        for days, plan in ((40, "D R'"), (3, "D' R'")):
            opens = NOON - timedelta(days=days, hours=13)
            a_set = given.a_set(
                opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5
            )
            for one in five:
                past(given, one, a_set, plan, *["D' R'"] * 4)
        note_lesson(by=coach, code="wrong_direction", day=NOON.date() - timedelta(days=5), now=NOON)
        said = main(coach, SLIP)
        assert re.search(r"5 members 5 of 25 0 of 25 cannot be told: too few members", said)

    def test_a_note_is_made_and_taken_back_on_the_page(
        self, coach: Membership, five: list[Membership]
    ) -> None:
        reader = reader_for(coach)
        reader.post(SLIP, {"day": "2026-11-20", "group": ""}, status=302)
        page = reader.get(SLIP)
        assert "Friday 20 November Take it back 5 members" in seen(page)
        (number,) = re.findall(r'name="take_back" value="(\d+)"', page)
        for wrong, said in (
            ({"day": "2026-11-20"}, "This is noted already."),
            ({"day": "2026-12-24"}, "This day is still to come."),
            ({"day": ""}, "Choose the day."),
            ({"day": "2026-11-20", "group": "Nobody’s"}, "Choose a group from the list."),
        ):
            assert said in seen(reader.post(SLIP, wrong, status=400))
        for notice in ("The note is taken back.", "This note was taken back already."):
            reader.post(SLIP, {"take_back": number}, status=302)
            assert notice in seen(reader.get(SLIP))
        assert "Take it back" not in seen(reader.get(SLIP))


class TestReview:
    def test_what_stands_out_and_cost_nothing_lately_saves_nothing(
        self, given: Given, club: Club, coach: Membership, five: list[Membership]
    ) -> None:
        """Flagged by the look's eight weeks, and nothing lost in the four that are shown."""
        for week in (5, 6):
            opens = NOON - timedelta(weeks=week, hours=13)
            a_set = given.a_set(
                opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5
            )
            for one in five:
                past(given, one, a_set, *[BASE_TURN[2 if one is five[0] else 1]] * 5)
        said = main(coach, REVIEW)
        assert "up to 0 points" not in said
        assert "Next lesson: base turn" in said
        assert "It cost nothing in the last 4 weeks. Likely need it: M0." in said

    def test_equals_above_the_target_need_nothing(
        self, given: Given, coach: Membership, five: list[Membership]
    ) -> None:
        for number, one in enumerate(five):
            for week in range(4):
                opens = NOON - timedelta(days=7 * week + 1, hours=13)
                a_set = ScrambleSet.objects.filter(opens_at=opens).first() or given.a_set(
                    opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",) * 5
                )
                missed = BASE_TURN[2 if week == number % 4 else 1]
                past(given, one, a_set, missed, *[BASE_TURN[1]] * 4)
        said = main(coach, REVIEW)
        assert "Nothing stands out for a lesson" in said
        assert "Nobody is clearly below the target in an idea" in said
        for words in ("likely needs work", "Likely need it", "learning it"):
            assert words not in said
