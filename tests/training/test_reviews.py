"""Summaries equal the verdicts; reviews say what they can stand for and no more."""

from __future__ import annotations

import uuid
from datetime import date, timedelta
from fractions import Fraction

import pytest
from django.core.management import CommandError, call_command

from solverworker import review
from tests.conftest import NOON, make_membership
from training.models import (
    Drawn,
    Membership,
    Plan,
    PlanKind,
    ScrambleSet,
    SetSummary,
    Sight,
    TechniqueCount,
)
from training.selectors import group_reviews, lessons, reviews
from training.services import summaries
from training.services.plans import withdraw_plan
from training.services.verdicts import record_history
from training.statistics import Standing, Tally
from training.visibility import Sealed

pytestmark = pytest.mark.django_db

# Yellow cross: a scramble whose one shortest solution is a base turn (a worked vector of the
# definitions), that solution, and a plan three moves longer that does without.
BASE_TURN = ("R D", "D' R'", "R U' R' B2 D'")


@pytest.fixture
def closed(given) -> ScrambleSet:
    return given.a_set(opens=NOON - timedelta(days=1, hours=13), closes=NOON - timedelta(hours=13))


def past(given, who: Membership, a_set: ScrambleSet, *plans: str | None) -> None:
    """Checked plans for a set of the past, one after the other."""
    rows = []
    for number, written in enumerate(plans, start=1):
        scramble = given.scramble(a_set, number)
        plan = Plan(
            scramble=scramble,
            membership=who,
            kind=PlanKind.NO_PLAN if written is None else PlanKind.MOVES,
            written=written or "",
            canonical=written or "",
            key=uuid.uuid4(),
            handed_in_at=a_set.opens_at,
            rung_at=a_set.opens_at,
        )
        rows.append((plan, review.check_plan(scramble.text, written or "", colours=["yellow"])))
    record_history(checked=rows)


def test_a_verdict_makes_its_summary_in_the_same_breath(given, member) -> None:
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "D2 D R'")
    given.a_plan(member, a_set, 2, "U")
    summary = SetSummary.objects.get()
    assert (summary.plans, summary.solved, summary.lost) == (2, 1, 1)
    assert (summary.lost_first, summary.lost_middle, summary.lost_last) == (1, 0, 0)
    assert summaries.differences() == []


def test_the_shares_of_blame_in_a_summary_add_up_to_the_moves_lost(given, member, closed) -> None:
    past(given, member, closed, "D2 D R'", "R D2 R2 D", "F2 F R'", "U U' R' F'", "B' R'")
    summary = SetSummary.objects.get()
    shares = TechniqueCount.objects.filter(membership=member)
    assert summary.lost > 0
    assert sum(Fraction(one.lost).limit_denominator(5040) for one in shares) == summary.lost


def test_a_withdrawn_plan_leaves_the_summary(given, member, coach) -> None:
    plan = given.a_plan(member, given.a_set(), 1, "D2 D R'")
    withdraw_plan(plan=plan, by=coach, reason="mix-up")
    assert not SetSummary.objects.exists()
    assert summaries.differences() == []


def test_a_summary_that_was_tampered_with_is_found_and_made_anew(given, member, closed) -> None:
    past(given, member, closed, "D2 D R'")
    SetSummary.objects.update(lost=7)
    TechniqueCount.objects.all().delete()
    assert len(summaries.differences()) == 1
    with pytest.raises(CommandError, match="1 summaries differ"):
        call_command("summaries")
    call_command("summaries", "--rebuild")
    call_command("summaries")
    assert SetSummary.objects.get().lost == 1


def test_moves_are_lost_in_the_first_third_the_middle_or_the_last() -> None:
    early = review.check_plan("R D", "U U' D' R'", colours=["yellow"])
    late = review.check_plan("R D", "D' R' U U'", colours=["yellow"])
    assert summaries.lost_by_third(early)[0] == 2
    assert summaries.lost_by_third(late) == (0, 1, 1)
    assert sum(summaries.lost_by_third(early)) == early.excess


def weeks_of_plans(given, who: Membership, weeks: int, answered: bool, scramble=BASE_TURN) -> None:
    """A set a week in which one technique is called for in five scrambles."""
    for number in range(weeks):
        opens = NOON - timedelta(days=7 * number + 1, hours=13)
        a_set = ScrambleSet.objects.filter(opens_at=opens).first() or given.a_set(
            opens=opens, closes=opens + timedelta(days=1), scrambles=(scramble[0],) * 5
        )
        past(given, who, a_set, *[scramble[1 if answered else 2]] * 5)


def test_a_member_who_never_answers_needs_work_and_others_are_strong_at_most(given, club) -> None:
    ines, others = make_membership(club, "Ines"), [make_membership(club, f"M{n}") for n in range(5)]
    weeks_of_plans(given, ines, 4, answered=False)
    for one in others:
        weeks_of_plans(given, one, 4, answered=True)
    found = reviews.member_review(ines, NOON)
    (line,) = found.to_work_on
    assert (line.code, line.tally) == ("base_turn", Tally(0, 20))
    assert line.standing == Standing.NEEDS_WORK
    assert line.lost == pytest.approx(found.lost)
    assert found.examples["base_turn"][0].canonical == BASE_TURN[2]
    for one in others:
        assert reviews.member_review(one, NOON).to_work_on == ()


def test_three_of_nothing_prove_nothing(given, club, member, closed) -> None:
    past(given, member, closed, BASE_TURN[2])
    line = reviews.member_review(member, NOON).lines[1]
    assert line.standing == Standing.UNKNOWN
    assert (line.code, line.more_needed) == ("base_turn", 4)


def test_of_rarely_called_techniques_no_page_says_how_many_more_are_needed(member) -> None:
    lines = {one.code: one for one in reviews.member_review(member, NOON).lines}
    assert lines["flipped_insert"].more_needed is None
    assert lines["step_aside"].more_needed is None


def test_picked_sets_have_a_rate_apart_and_never_touch_the_review(given, member) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    picked = given.a_set(
        opens=opens, closes=opens + timedelta(days=1), drawn=Drawn.PICKED, scrambles=("R D",) * 5
    )
    past(given, member, picked, *[BASE_TURN[2]] * 5)
    found = reviews.member_review(member, NOON)
    line = next(one for one in found.lines if one.code == "base_turn")
    assert (line.tally, line.picked, found.lost) == (Tally(0, 0), Tally(0, 5), 0)


def test_a_set_still_open_is_in_no_review(given, member) -> None:
    given.a_plan(member, given.a_set(answers_to=Sight.CLOSING), 1, "D2 D R'")
    assert reviews.member_review(member, NOON).plans == 0


def test_the_trend_is_against_the_group_on_the_same_scrambles_and_waits_six_weeks(
    given, member, second
) -> None:
    weeks_of_plans(given, member, 5, answered=False)
    weeks_of_plans(given, second, 5, answered=True)
    found = reviews.member_review(member, NOON)
    assert found.trend is None
    differences = [week.against_group for week in found.weeks if week.plans]
    # Three moves lost a plan by one of two members: one and a half over the mean of both.
    assert differences == [1.5] * 5


def test_only_coaches_see_the_group(member) -> None:
    with pytest.raises(Sealed):
        group_reviews.group_review(member, NOON)


def test_techniques_are_ranked_by_need(given, club, coach) -> None:
    people = [make_membership(club, f"M{n}") for n in range(6)]
    for one in people:
        weeks_of_plans(given, one, 2, answered=False)
    found = group_reviews.group_review(coach, NOON)
    first = found.techniques[0]
    # Everybody lacks it, so nobody stands out; the group itself does, against the target.
    assert (first.code, first.lacking, first.group_lacks) == ("base_turn", (), True)
    assert first.need == pytest.approx(first.lost * 6)
    assert first.tally == Tally(0, 60)


def test_scrambles_stand_as_items_with_facility_and_best(given, coach, member, second) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D", "R F"))
    past(given, member, a_set, "D2 D R'", "F' R'")
    past(given, second, a_set, "D' R'", "F' R'")
    items = group_reviews.group_review(coach, NOON).items
    assert [(one.number, one.exact, one.plans, one.best) for one in items] == [
        (1, 1, 2, 2),
        (2, 2, 2, 2),
    ]
    assert items[0].facility.low < 0.5 < items[0].facility.high


def test_the_group_filter_and_who_went_quiet(given, club, coach, member, second, closed) -> None:
    member.groups.add(club.groups.create(name="Builders"))
    past(given, member, closed, "D' R'")
    found = group_reviews.group_review(coach, NOON, group="Builders")
    assert [one.member for one in found.members] == ["Ines"]
    assert group_reviews.group_review(coach, NOON).quiet == ("Bashir",)


@pytest.mark.parametrize("people", [1, 4])
def test_the_group_review_takes_a_constant_number_of_queries(
    given, club, coach, people, django_assert_num_queries
) -> None:
    for n in range(people):
        weeks_of_plans(given, make_membership(club, f"M{n}"), 2, answered=n % 2 == 0)
    viewer = Membership.objects.select_related("club").get(pk=coach.pk)
    with django_assert_num_queries(9):
        group_reviews.group_review(viewer, NOON)


def test_weeks_begin_on_mondays_of_the_clubs_calendar(member) -> None:
    found = reviews.member_review(member, NOON, weeks=3)
    assert [week.monday for week in found.weeks] == [
        date(2026, 11, 9),
        date(2026, 11, 16),
        date(2026, 11, 23),
    ]


# Lessons ----------------------------------------------------------------------


def test_a_lesson_shows_where_it_cost_most_with_plans_that_answered_and_one_that_did_not(
    given, club, coach
) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D", "D R"))
    for n in range(3):
        past(given, make_membership(club, f"Sure{n}"), a_set, "D' R'", "R' D'")
    past(given, make_membership(club, "Unsure"), a_set, BASE_TURN[2], "R' D'")
    found = lessons.lesson(coach, "base_turn", NOON)
    (costly,) = found.scrambles
    assert (costly.text, costly.lost) == ("R D", 3.0)
    assert [plan.answered for plan in costly.plans] == [True, True, False]
    assert costly.plans[2].member == "Unsure"


def test_lengths_are_fitted_to_what_the_group_finds(given, club, coach, member) -> None:
    assert lessons.fitting_lengths(ScrambleSet.objects.all()) == (4, 6)
    weeks_of_plans(given, member, 1, answered=True)
    assert lessons.fitting_lengths(ScrambleSet.objects.all()) == (3, 4)


def test_homework_shows_its_own_rate_apart_and_the_as_drawn_rates_around_it(
    given, club, coach, member
) -> None:
    day = timedelta(days=1)
    spans = [NOON - timedelta(days=n, hours=13) for n in (5, 3, 1)]
    before, homework, after = (
        given.a_set(
            opens=opens,
            closes=opens + day,
            scrambles=("R D",) * 5,
            drawn=Drawn.PICKED if place == 1 else Drawn.AS_DRAWN,
        )
        for place, opens in enumerate(spans)
    )
    past(given, member, before, *[BASE_TURN[2]] * 5)
    past(given, member, homework, *["D' R'"] * 4, BASE_TURN[2])
    past(given, member, after, *["D' R'"] * 5)
    (found,) = lessons.lesson(coach, "base_turn", NOON).homework
    assert (found.before.tally, found.own.tally, found.after.tally) == (
        Tally(0, 5),
        Tally(4, 5),
        Tally(5, 5),
    )


def test_lessons_are_for_coaches_and_for_techniques_that_exist(coach, member) -> None:
    for viewer, code in ((member, "base_turn"), (coach, "no_such_idea")):
        with pytest.raises(Sealed):
            lessons.lesson(viewer, code, NOON)
