"""Challenges from the announcing to the post. The rules are the club's own: no outside source."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from tests.conftest import NOON, Given, make_membership
from tests.training.challenged import DAY, HOUR, a_challenge, easy, planned, rules_of
from training.challenge_states import Stage
from training.clock import Window
from training.models import (
    Challenge,
    Club,
    Confirmation,
    Kind,
    Membership,
    Plan,
    PlanStatus,
    ScrambleSet,
)
from training.refusals import InvalidEntry, NoLongerPossible, NotAllowed
from training.rules import Sight
from training.selectors.challenge_results import confirmed_result, live_lines, newest_confirmation
from training.selectors.challenges import challenge_for, challenges_of, reached_by
from training.selectors.set_heads import load_named, title_of
from training.selectors.tables import all_time_table, day_table, set_table, week_table
from training.services import corrections, periodic, questions
from training.services.challenges import announce, call_off, draw_announced
from training.services.confirming import confirm, settle, settle_due
from training.services.sets import Drawers
from training.services.verifying import _differences
from training.visibility import Sealed

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]

ENDS = NOON - DAY + 48 * HOUR
"""When the time for questions ends of a challenge that closed a day ago, all checked."""


def points(confirmation: Confirmation) -> dict[str, int]:
    return {one.membership.display_name: one.points for one in confirmation.lines.all()}


def a_day_of_two(club: Club, given: Given, member: Membership, second: Membership) -> Challenge:
    """Ines loses one move, Bashir solves one of two exactly and has no plan for the other."""
    challenge = a_challenge(club)
    planned(given, challenge, member, ["D2 D R'", "R' D'"])
    planned(given, challenge, second, ["D' R'", None])
    return challenge


def test_nothing_of_an_announced_set_is_there_before_it_opens(
    club: Club, coach: Membership, member: Membership
) -> None:
    challenge = a_challenge(club, by=coach, opens=NOON + DAY, closes=NOON + 3 * DAY, name="Snow")
    (head,) = challenges_of(member, NOON)
    assert (head.name, head.number, head.stage, head.crosses) == ("Snow", 1, "announced", 2)
    for who in (member, coach):
        with pytest.raises(Sealed):
            set_table(who, challenge.scramble_set_id, NOON)
    of_set = challenge.scramble_set
    assert (of_set.kind, of_set.drawn, of_set.scrambles.count()) == (Kind.CHALLENGE, "as_drawn", 2)
    assert of_set.spare
    # The row says the same whatever is drawn, and no earlier than announced.
    assert challenges_of(member, challenge.announced_at - timedelta(seconds=1)) == []


def test_its_set_is_called_what_the_challenge_is_called_with_one_query_for_all(
    club: Club, given: Given, django_assert_num_queries
) -> None:
    made = [a_challenge(club), a_challenge(club, name="Snow")]
    sets = [one.scramble_set for one in made]
    sets = list(ScrambleSet.objects.select_related("club").filter(pk__in=[x.pk for x in sets]))
    with django_assert_num_queries(2):  # challenges, and groups
        load_named(sets)
        assert {title_of(one) for one in sets} == {"Weekly challenge 1", "Snow"}
    daily = given.a_set()
    with django_assert_num_queries(1):
        load_named([daily])
        assert title_of(daily) == "Wednesday’s set"


def test_it_is_drawn_once_by_whichever_worker_comes_first(club: Club, coach: Membership) -> None:
    challenge = a_challenge(club, by=coach, opens=NOON + DAY, closes=NOON + 2 * DAY)
    assert draw_announced(drawer=easy, now=NOON) == 0
    assert challenge.scramble_set.scrambles.count() == 2


@pytest.mark.parametrize(
    ("opens", "closes", "scrambles", "table", "field"),
    [
        (NOON, NOON + DAY, 2, Sight.CLOSING, "opens"),
        (NOON + DAY, NOON + DAY, 2, Sight.CLOSING, "closes"),
        (NOON + DAY, NOON + 40 * DAY, 2, Sight.CLOSING, "closes"),
        (NOON + DAY, NOON + 2 * DAY, 13, Sight.CLOSING, "scrambles"),
        (NOON + DAY, NOON + 2 * DAY, 2, Sight.COACHES, "table_to"),
    ],
)
def test_what_cannot_be_announced(
    club: Club,
    coach: Membership,
    opens: datetime,
    closes: datetime,
    scrambles: int,
    table: str,
    field: str,
) -> None:
    from dataclasses import replace

    with pytest.raises(InvalidEntry) as refused:
        announce(
            club=club,
            rules=replace(rules_of(club), table_to=table),
            window=Window(opens, closes),
            scrambles=scrambles,
            by=coach,
            now=NOON,
        )
    assert refused.value.field == field


def test_only_a_coach_announces_and_it_is_called_off_until_it_opens(
    club: Club, coach: Membership, member: Membership
) -> None:
    with pytest.raises(NotAllowed):
        a_challenge(club, by=member, opens=NOON + DAY, closes=NOON + 2 * DAY)
    challenge = a_challenge(club, by=coach, opens=NOON + DAY, closes=NOON + 2 * DAY)
    with pytest.raises(NoLongerPossible):
        call_off(challenge=challenge, by=coach, now=NOON + DAY)
    call_off(challenge=challenge, by=coach, now=NOON + DAY - timedelta(seconds=1))
    assert not Challenge.objects.exists()


def test_it_has_a_table_of_its_own_and_feeds_all_time(
    club: Club, given: Given, member: Membership, second: Membership
) -> None:
    challenge = a_day_of_two(club, given, member, second)
    day = challenge.scramble_set.closes_at.date()
    table = set_table(member, challenge.scramble_set_id, NOON)
    assert [(one.rank, one.member, one.score.points) for one in table.rows] == [
        (1, "Ines", 1),
        (2, "Bashir", 8),
    ]
    assert day_table(member, day, NOON).sets == ()
    assert week_table(member, day, NOON).sets == ()
    assert len(all_time_table(member, NOON).sets) == 1


def test_it_stands_by_itself_from_what_was_so_at_that_instant(
    club: Club, given: Given, coach: Membership, member: Membership, second: Membership
) -> None:
    """The tick comes a day late, and a coach has corrected something an hour after the end."""
    challenge = a_day_of_two(club, given, member, second)
    plan = Plan.objects.get(membership=second, scramble__number=1)
    corrections.withdraw_plan(plan=plan, by=coach, reason="mix-up", now=ENDS + HOUR)
    confirmation = newest_confirmation(challenge)
    assert confirmation is not None
    assert (confirmation.confirmed_at, confirmation.by) == (ENDS, None)
    assert points(confirmation) == {"Ines": 1, "Bashir": 8}
    assert settle_due(now=ENDS + DAY) == 0
    live = [(one.person.pk, one.score) for _, one in live_lines(challenge.scramble_set, ENDS + DAY)]
    result = confirmed_result(confirmation, second.pk, live)
    assert result.differs
    assert [(one.member, one.score.points, one.now) for one in result.lines] == [
        ("Ines", 1, None),
        ("Bashir", 8, 16),
    ]
    # The sums that `verify` compares are the live ones, and they agree.
    assert _differences(challenge.scramble_set_id) == []


def test_a_machine_that_was_off_through_all_of_it(
    club: Club, given: Given, member: Membership, second: Membership
) -> None:
    challenge = a_day_of_two(club, given, member, second)
    later = ENDS + 30 * DAY
    assert reached_by(challenge, later).stage == Stage.CONFIRMED
    no_set = Drawers(daily=easy, picked=lambda *_: "R")
    club.daily_weekdays = []
    club.save()
    periodic.tick(drawers=no_set, now=later)
    confirmation = newest_confirmation(challenge)
    assert confirmation is not None
    assert (confirmation.confirmed_at, confirmation.noted_at) == (ENDS, later)
    challenge.refresh_from_db()
    assert challenge.checked_at == challenge.scramble_set.closes_at
    assert reached_by(challenge, ENDS - timedelta(seconds=1)).stage == Stage.QUESTIONS
    assert reached_by(challenge, ENDS).confirmed_at == ENDS


def test_it_is_being_checked_until_a_coach_has_decided_on_what_could_not_be(
    club: Club, given: Given, coach: Membership, member: Membership
) -> None:
    challenge = a_challenge(club)
    opens = challenge.scramble_set.opens_at
    plan = given.a_plan(member, challenge.scramble_set, 1, "D' R'", at=opens + HOUR, checked=False)
    Plan.objects.filter(pk=plan.pk).update(status=PlanStatus.FAILED, failure_reason="gave up")
    assert reached_by(challenge, NOON).stage == Stage.CHECKING
    with pytest.raises(NoLongerPossible):
        confirm(challenge=challenge, by=coach, now=NOON)
    corrections.withdraw_plan(plan=plan, by=coach, reason="cannot be read", now=NOON)
    found = reached_by(challenge, NOON)
    assert (found.stage, found.since, found.until) == (Stage.QUESTIONS, NOON, NOON + 48 * HOUR)
    settle(set_id=challenge.scramble_set_id, now=NOON)
    challenge.refresh_from_db()
    assert challenge.checked_at == NOON


def test_a_plan_checked_again_later_does_not_begin_the_questions_anew(
    club: Club, given: Given, member: Membership, second: Membership
) -> None:
    challenge = a_day_of_two(club, given, member, second)
    settle(set_id=challenge.scramble_set_id, now=NOON)
    Plan.objects.filter(membership=member).update(status=PlanStatus.WAITING)
    challenge.refresh_from_db()
    assert reached_by(challenge, NOON).stage == Stage.QUESTIONS
    # By itself it is noted only when that plan has its verdict, for the instant it stood from.
    assert settle_due(now=ENDS + HOUR) == 0
    Plan.objects.filter(membership=member).update(status=PlanStatus.CHECKED)
    assert settle_due(now=ENDS + 2 * HOUR) == 1
    confirmation = newest_confirmation(challenge)
    assert confirmation is not None
    assert confirmation.confirmed_at == ENDS


def test_a_question_holds_it_and_an_answer_may_carry_a_correction(
    club: Club, given: Given, coach: Membership, member: Membership, second: Membership
) -> None:
    challenge = a_day_of_two(club, given, member, second)
    scramble = given.scramble(challenge.scramble_set, 2)
    question = questions.ask(by=second, scramble=scramble, words="It was misprinted.", now=NOON)
    with pytest.raises(NoLongerPossible):
        confirm(challenge=challenge, by=coach, now=NOON)
    assert settle_due(now=ENDS + HOUR) == 0
    at = ENDS + 2 * HOUR
    answered = questions.answer(
        question=question,
        by=coach,
        words="You are right.",
        correction="scramble_void",
        reason="misprinted",
        now=at,
    )
    assert answered.correction is not None
    assert answered.correction.kind == "scramble_void"
    assert settle_due(now=at + DAY) == 1
    confirmation = newest_confirmation(challenge)
    assert confirmation is not None
    assert confirmation.confirmed_at == at
    assert points(confirmation) == {"Ines": 1, "Bashir": 0}
    assert confirmation.rules["scrambles"] == [1]


def test_an_answer_whose_correction_is_refused_is_none(
    club: Club, given: Given, coach: Membership, member: Membership, second: Membership
) -> None:
    challenge = a_day_of_two(club, given, member, second)
    scramble = given.scramble(challenge.scramble_set, 1)
    question = questions.ask(by=member, scramble=scramble, words="Why?", now=NOON)
    with pytest.raises(NoLongerPossible):
        questions.answer(
            question=question, by=coach, words="So.", correction="rotation", reason="x", now=NOON
        )
    question.refresh_from_db()
    assert question.answered_at is None


def test_confirmed_once_more_only_when_it_differs(
    club: Club, given: Given, coach: Membership, member: Membership, second: Membership
) -> None:
    challenge = a_day_of_two(club, given, member, second)
    first = confirm(challenge=challenge, by=coach, now=NOON)
    assert (first.turn, first.confirmed_at, points(first)) == (1, NOON, {"Ines": 1, "Bashir": 8})
    with pytest.raises(NoLongerPossible):
        confirm(challenge=challenge, by=coach, now=NOON + HOUR)
    plan = Plan.objects.get(membership=member, scramble__number=2)
    corrections.withdraw_plan(plan=plan, by=coach, reason="mix-up", now=NOON + HOUR)
    assert points(first) == {"Ines": 1, "Bashir": 8}
    again = confirm(challenge=challenge, by=coach, now=NOON + 2 * HOUR)
    assert (again.turn, points(again)) == (2, {"Ines": 9, "Bashir": 8})


def test_a_coach_in_the_table_confirms_it_only_where_there_is_no_other(
    club: Club, given: Given, member: Membership, second: Membership
) -> None:
    rival = make_membership(club, "Runa", "coach", competes=True)
    challenge = a_day_of_two(club, given, member, second)
    other = make_membership(club, "Kari", "coach")
    with pytest.raises(NotAllowed):
        confirm(challenge=challenge, by=rival, now=NOON)
    with pytest.raises(NotAllowed):
        confirm(challenge=challenge, by=member, now=NOON)
    type(other).objects.filter(pk=other.pk).update(standing="archived")
    assert confirm(challenge=challenge, by=rival, now=NOON).own_table


def test_another_clubs_challenge_is_absent(
    club: Club, coach: Membership, outsider: Membership
) -> None:
    challenge = a_challenge(club)
    assert challenge_for(coach, challenge.pk, NOON) == challenge
    with pytest.raises(Sealed):
        challenge_for(outsider, challenge.pk, NOON)
    with pytest.raises(NotAllowed):
        confirm(challenge=challenge, by=outsider, now=NOON)


def test_a_set_taken_out_ends_in_nothing(
    club: Club, given: Given, coach: Membership, member: Membership, second: Membership
) -> None:
    challenge = a_day_of_two(club, given, member, second)
    entry = corrections.take_set_out(
        scramble_set=challenge.scramble_set, by=coach, reason="wrong sheets", now=NOON
    )
    challenge = Challenge.objects.select_related("scramble_set").get(pk=challenge.pk)
    assert reached_by(challenge, ENDS + HOUR).stage == Stage.OUT
    assert settle_due(now=ENDS + HOUR) == 0
    corrections.undo(correction=entry, by=coach, reason="they were right", now=NOON + HOUR)
    challenge = Challenge.objects.select_related("scramble_set").get(pk=challenge.pk)
    assert reached_by(challenge, NOON + HOUR).stage == Stage.QUESTIONS
