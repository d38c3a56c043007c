"""Today: a line for what changed and what waits, and the day on which all is in.

Every sentence is tried on data that would make a careless one untrue. Common practice, no source.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.conftest import NOON, Given
from tests.web.conftest import ROOT, Reader, reader_for, words
from training.models import (
    Challenge,
    Kind,
    Membership,
    Post,
    PracticeDue,
    Question,
    ScrambleSet,
    WorthAWord,
)

DAY = timedelta(days=1)
PAGE = f"{ROOT}/today/"
EXACT, TWO_OVER, UNSOLVED = "D' R'", "U D' U' R'", "L"


@pytest.fixture(autouse=True)
def _joined_long_ago(member: Membership, second: Membership) -> None:
    Membership.objects.update(joined_at=NOON - 90 * DAY)


def day_back(
    given: Given, back: int, *plans: str | None, who: Membership, crosses: int = 5
) -> None:
    opens = NOON - timedelta(hours=13) - back * DAY
    one = given.a_set(opens=opens, closes=opens + DAY, scrambles=("R D",) * crosses)
    for number, moves in enumerate(plans, start=1):
        given.a_plan(who, one, number, moves, at=opens + DAY / 2)


def said(reader: Reader) -> str:
    return words(reader.get(PAGE))


class TestYesterday:
    def test_stands_beside_the_own_weeks_before(self, member: Membership, given: Given) -> None:
        for back in (2, 3):
            day_back(given, back, EXACT, TWO_OVER, UNSOLVED, EXACT, None, who=member)
        day_back(given, 1, TWO_OVER, EXACT, EXACT, EXACT, EXACT, who=member)
        found = said(reader_for(member))
        # Twice 0 + 2 + 8 + 0 + 8 on ten plans: 18 on five.
        assert "Yesterday: 2 over the best on 5 crosses. " in found
        assert "Your eight weeks before: 18 over on 5 crosses." in found

    def test_of_somebody_who_got_worse_says_the_numbers_alone(
        self, member: Membership, given: Given
    ) -> None:
        for back in (2, 3):
            day_back(given, back, *[EXACT] * 5, who=member)
        day_back(given, 1, UNSOLVED, None, TWO_OVER, who=member)
        found = said(reader_for(member))
        assert "Yesterday: 18 over the best on 3 crosses (3 of 5 planned). " in found
        assert "Your eight weeks before: 0 over on 3 crosses." in found
        assert "worse" not in found

    def test_without_weeks_before_it_stands_alone(self, member: Membership, given: Given) -> None:
        day_back(given, 1, EXACT, who=member)
        found = said(reader_for(member))
        assert "Yesterday: nothing over the best on 1 cross (1 of 5 planned)." in found
        assert "eight weeks before" not in found

    def test_is_not_told_to_who_planned_nothing(
        self, member: Membership, second: Membership, given: Given
    ) -> None:
        day_back(given, 1, *[EXACT] * 5, who=second)
        for reader in (reader_for(member), reader_for(second)):
            found = said(reader)
            assert ("Yesterday:" in found) == (
                reader.client.session["_auth_user_id"] != str(member.person_id)
            )

    def test_of_an_empty_club_nothing_is_new(self, member: Membership) -> None:
        assert 'class="notice news"' not in reader_for(member).get(PAGE)


class TestWhatCoachesWrote:
    @pytest.fixture
    def old(self, given: Given) -> ScrambleSet:
        opens = NOON - timedelta(hours=37)
        return given.a_set(opens=opens, closes=opens + DAY)

    def ask(
        self, given: Given, who: Membership, old: ScrambleSet, number: int, **fields: object
    ) -> None:
        Question.objects.create(
            membership=who, scramble=given.scramble(old, number), words="why?", **fields
        )

    def test_an_answer_leads_to_its_scramble_for_three_days(
        self, member: Membership, second: Membership, given: Given, old: ScrambleSet
    ) -> None:
        self.ask(given, member, old, 2, answer="Because.", answered_at=NOON - DAY)
        self.ask(given, member, old, 3, answer="Long ago.", answered_at=NOON - 4 * DAY)
        self.ask(given, member, old, 4)
        page = reader_for(member).get(PAGE)
        assert "Your question was answered: yesterday, scramble 2." in words(page)
        assert f'href="{ROOT}/sets/{old.pk}/2/"' in page
        assert words(page).count("Your question was answered") == 1
        assert "Your question" not in said(reader_for(second))

    def test_many_answers_are_two_and_a_number(
        self, member: Membership, given: Given, old: ScrambleSet
    ) -> None:
        for number in range(1, 5):
            self.ask(given, member, old, number, answer="So.", answered_at=NOON - DAY)
        found = said(reader_for(member))
        assert found.count("Your question was answered") == 2
        assert "More of your questions were answered: 2 questions." in found

    def test_a_word_in_a_post_leads_to_its_challenge(
        self, member: Membership, second: Membership, given: Given
    ) -> None:
        opens = NOON - 9 * DAY
        of_set = given.a_set(opens=opens, closes=opens + DAY, kind=Kind.CHALLENGE)
        challenge = Challenge.objects.create(scramble_set=of_set, number=7, announced_at=opens)
        post = Post.objects.create(challenge=challenge, posted_at=NOON - DAY)
        WorthAWord.objects.create(post=post, place=1, kind="fewest", membership=member)
        WorthAWord.objects.create(post=post, place=2, kind="first", membership=member)
        page = reader_for(member).get(PAGE)
        assert (
            words(page).count("There is a word about you in the post on Weekly challenge 7.") == 1
        )
        assert f'href="{ROOT}/challenges/{challenge.pk}/"' in page
        assert "a word about you" not in said(reader_for(second))


class TestWhatWaits:
    def test_an_idea_that_is_due_until_practice_has_begun(self, member: Membership) -> None:
        today = date(2026, 11, 25)
        PracticeDue.objects.create(membership=member, code="base_turn", due_on=today)
        PracticeDue.objects.create(membership=member, code="shared_turn", due_on=today + DAY)
        reader = reader_for(member)
        assert "Comes back in practice: base turn." in said(reader)
        reader.post(f"{ROOT}/practice/", status=302)
        assert "Comes back in practice" not in said(reader)

    def test_homework_that_stands_below_another_set(self, member: Membership, given: Given) -> None:
        given.a_set()
        home = given.a_set(kind=Kind.HOMEWORK, drawn="picked", closes=NOON + 3 * DAY)
        page = reader_for(member).get(PAGE)
        assert "Homework from Wednesday: 5 crosses to plan, closes" in words(page)
        assert f'href="#set-{home.pk}"' in page
        assert f'id="set-{home.pk}"' in page


class TestAllIn:
    def test_total_level_one_plan_and_practice(self, member: Membership, given: Given) -> None:
        for back in range(2, 8):
            day_back(given, back, TWO_OVER, *[EXACT] * (back % 3 + 2), who=member)
        today = given.a_set(scrambles=("R D",) * 5)
        for number, moves in enumerate((EXACT, TWO_OVER, EXACT, "U U2 D' U R'", EXACT), start=1):
            given.a_plan(member, today, number, moves)
        page = reader_for(member).get(PAGE)
        found = words(page)
        assert "Your plans: 5 over the best on 5 crosses." in found
        assert "Look again at scramble 4: no other plan here lost more." in found
        assert f'href="{ROOT}/sets/{today.pk}/4/"' in page
        # 12 points on six days of 3, 4, 5 and 3, 4, 5 plans.
        assert "Your eight weeks before: about 3 over on 5 crosses." in found
        assert "Your best day" not in found, "two whole days alone have five crosses"
        assert "Practise a few more, if you like" in found
        assert "Hands tire before heads do." in found

    def test_the_best_day_is_one_of_as_many_crosses(self, member: Membership, given: Given) -> None:
        for back in range(1, 7):
            day_back(given, back, TWO_OVER, EXACT, who=member, crosses=2)
        today = given.a_set(scrambles=("R D",) * 2)
        for number in (1, 2):
            given.a_plan(member, today, number, EXACT)
        found = said(reader_for(member))
        assert "Your plans: nothing over the best on 2 crosses." in found
        # All equal: the latest of them.
        assert "Your best day with 2 crosses: 2 over, Tuesday 24 November." in found
        assert "Look again" not in found, "nothing was lost"

    def test_not_before_the_last_plan_is_in(self, member: Membership, given: Given) -> None:
        today = given.a_set(scrambles=("R D",) * 2)
        given.a_plan(member, today, 1, EXACT)
        assert "The day’s crosses are in" not in said(reader_for(member))

    def test_an_unsolved_plan_comes_first_and_counts_eight(
        self, member: Membership, given: Given
    ) -> None:
        today = given.a_set(scrambles=("R D",) * 3)
        for number, moves in enumerate((TWO_OVER, UNSOLVED, None), start=1):
            given.a_plan(member, today, number, moves)
        found = said(reader_for(member))
        assert "Your plans: 18 over the best on 3 crosses. Not solved: 2, each counts 8." in found
        assert "Look again at scramble 2: it is not solved yet." in found

    def test_nothing_sealed_is_told(self, member: Membership, given: Given) -> None:
        today = given.a_set(scrambles=("R D",) * 2, answers_to="closing", table_to="closing")
        given.a_plan(member, today, 1, TWO_OVER)
        given.a_plan(member, today, 2, EXACT)
        found = said(reader_for(member))
        assert "The total stands here once the answers are open to you." in found
        assert "Your plans:" not in found
        assert "Look again at scramble" not in found

    def test_what_is_still_checked_is_awaited(self, member: Membership, given: Given) -> None:
        today = given.a_set(scrambles=("R D",) * 2)
        given.a_plan(member, today, 1, EXACT)
        given.a_plan(member, today, 2, TWO_OVER, checked=False)
        assert "The total stands here once all is checked: 1 plan to go." in said(
            reader_for(member)
        )

    def test_homework_of_a_week_does_not_keep_the_day_open(
        self, member: Membership, given: Given
    ) -> None:
        today = given.a_set(scrambles=("R D",))
        home = given.a_set(kind=Kind.HOMEWORK, drawn="picked", closes=NOON + 3 * DAY)
        given.a_plan(member, today, 1, TWO_OVER)
        given.a_plan(member, home, 1, UNSOLVED)
        found = said(reader_for(member))
        assert "Your plans: 2 over the best on 1 cross." in found
        assert "Look again at scramble 1: no other plan here lost more." in found
        assert "Homework from Wednesday: 4 crosses to plan" in found

    def test_no_total_of_homework_alone(self, member: Membership, given: Given) -> None:
        home = given.a_set(kind=Kind.HOMEWORK, drawn="picked", scrambles=("R D",))
        given.a_plan(member, home, 1, TWO_OVER)
        found = said(reader_for(member))
        assert "The day’s crosses are in" in found
        assert "Your plans:" not in found
        assert "Look again at scramble 1" in found


class TestTheOwnLevelBesideATable:
    def test_of_a_day_and_of_a_week(self, member: Membership, given: Given) -> None:
        for back in range(1, 8):
            day_back(given, back, TWO_OVER, EXACT, who=member, crosses=2)
        reader = reader_for(member)
        found = words(reader.get(f"{ROOT}/table/day/2026-11-24/"))
        assert "Your eight weeks before: 2 over on 2 crosses." in found
        assert "Your best day with 2 crosses: 2 over, Monday 23 November." in found
        # Monday and Tuesday of this week: four crosses; five days before it.
        found = words(reader.get(f"{ROOT}/table/week/2026-11-23/"))
        assert "Your eight weeks before: 4 over on 4 crosses." in found
        assert "Your best day" not in found

    def test_is_nobody_elses(self, member: Membership, second: Membership, given: Given) -> None:
        for back in range(1, 8):
            day_back(given, back, TWO_OVER, EXACT, who=member, crosses=2)
        found = words(reader_for(second).get(f"{ROOT}/table/day/2026-11-24/"))
        assert "eight weeks before" not in found

    def test_of_few_plans_says_nothing(self, member: Membership, given: Given) -> None:
        day_back(given, 1, *[EXACT] * 5, who=member)
        found = words(reader_for(member).get(f"{ROOT}/table/day/2026-11-24/"))
        assert "eight weeks before" not in found


def test_the_number_of_queries_does_not_grow(member: Membership, given: Given) -> None:
    given.a_set()
    reader = reader_for(member)
    taken = []
    for more in (2, 9):
        for back in range(more - 1, 2 * more - 1):
            day_back(given, back, EXACT, TWO_OVER, who=member)
        with CaptureQueriesContext(connection) as found:
            reader.get(PAGE)
        taken.append(len(found))
    assert taken[0] == taken[1] <= 16, taken
