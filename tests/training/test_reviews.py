"""Summaries equal the verdicts; reviews say what they can stand for and no more."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest
from django.core.management import CommandError, call_command

from solverworker.cube.cross import STATE_COUNT
from solverworker.techniques.atlas_maker import atlas
from tests.conftest import NOON, make_membership
from tests.grouping import put_in
from tests.history import BASE_TURN, past, weeks_of_plans
from training.models import Drawn, Kind, Membership, ScrambleSet, SetSummary, TechniqueCount
from training.rules import Sight
from training.selectors import group_reviews, lessons, reviews
from training.selectors.coach import overview
from training.services import summaries
from training.services.corrections import withdraw_plan
from training.statistics import Tally
from training.visibility import Sealed
from training.yardsticks import Flag

pytestmark = pytest.mark.django_db

MONDAY = NOON + timedelta(days=5)
"""The Monday after: the first look that sees what closed this week."""


@pytest.fixture
def closed(given) -> ScrambleSet:
    return given.a_set(opens=NOON - timedelta(days=1, hours=13), closes=NOON - timedelta(hours=13))


def test_a_verdict_makes_its_summary_in_the_same_breath(given, member) -> None:
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "D2 D R'")
    given.a_plan(member, a_set, 2, "U")
    summary = SetSummary.objects.get()
    assert (summary.plans, summary.solved, summary.lost) == (2, 1, 1)
    assert len(summary.crosses) == 2
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
    with pytest.raises(CommandError, match="1 summary differs from"):
        call_command("summaries")
    call_command("summaries", "--rebuild")
    call_command("summaries")
    assert SetSummary.objects.get().lost == 1


def test_a_member_who_never_answers_needs_work_and_others_are_strong_at_most(given, club) -> None:
    ines, others = make_membership(club, "Ines"), [make_membership(club, f"M{n}") for n in range(5)]
    weeks_of_plans(given, ines, 4, answered=False)
    for one in others:
        weeks_of_plans(given, one, 4, answered=True)
    found = reviews.member_review(ines, MONDAY, viewer=ines)
    (line,) = found.to_work_on
    assert (line.code, line.tally) == ("base_turn", Tally(0, 20))
    assert line.flag == Flag.NEEDS_WORK
    assert line.lost == pytest.approx(found.lost)
    assert found.examples["base_turn"][0].canonical == BASE_TURN[2]
    for one in others:
        assert reviews.member_review(one, MONDAY, viewer=one).to_work_on == ()


def test_a_flag_waits_for_monday_and_stays_for_one_look_that_does_not_show_it(
    given, member
) -> None:
    """A look is taken on Monday: what closed on Tuesday is not in it yet."""
    weeks_of_plans(given, member, 1, answered=False)
    assert reviews.member_review(member, NOON, viewer=member).to_work_on == ()
    (line,) = reviews.member_review(member, MONDAY, viewer=member).to_work_on
    assert (line.code, line.tally) == ("base_turn", Tally(0, 5))
    # Eight weeks later the look sees nothing of it any more; the one before it still did.
    late = MONDAY + timedelta(weeks=8)
    (line,) = reviews.member_review(member, late, viewer=member).to_work_on
    assert line.tally == Tally(0, 0)
    assert reviews.member_review(member, late + timedelta(weeks=1), viewer=member).to_work_on == ()


def test_three_of_nothing_prove_nothing(given, club, member, closed) -> None:
    past(given, member, closed, BASE_TURN[2])
    line = reviews.member_review(member, MONDAY, viewer=member).lines[1]
    assert line.flag == Flag.UNKNOWN
    assert (line.code, line.more_needed) == ("base_turn", 4)


def test_of_rarely_called_techniques_no_page_says_how_many_more_are_needed(member) -> None:
    lines = {one.code: one for one in reviews.member_review(member, NOON, viewer=member).lines}
    assert lines["flipped_insert"].more_needed is None
    assert lines["step_aside"].more_needed is None


def test_picked_sets_have_a_rate_apart_and_never_touch_the_review(given, member) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    picked = given.a_set(
        opens=opens, closes=opens + timedelta(days=1), drawn=Drawn.PICKED, scrambles=("R D",) * 5
    )
    past(given, member, picked, *[BASE_TURN[2]] * 5)
    found = reviews.member_review(member, NOON, viewer=member)
    line = next(one for one in found.lines if one.code == "base_turn")
    assert (line.tally, line.picked, found.lost) == (Tally(0, 0), Tally(0, 5), 0)


def test_a_set_still_open_is_in_no_review(given, member) -> None:
    given.a_plan(member, given.a_set(answers_to=Sight.CLOSING), 1, "D2 D R'")
    assert reviews.member_review(member, NOON, viewer=member).plans == 0


def test_the_trend_is_against_the_group_on_the_same_scrambles_and_waits_six_weeks(
    given, member, second
) -> None:
    weeks_of_plans(given, member, 5, answered=False)
    weeks_of_plans(given, second, 5, answered=True)
    found = reviews.member_review(member, NOON, viewer=member)
    assert found.trend is None
    differences = [week.against_others for week in found.weeks if week.plans]
    # Three moves lost a plan, against the other of two members, who lost none.
    assert differences == [3] * 5


def test_only_coaches_see_the_group(member) -> None:
    with pytest.raises(Sealed):
        group_reviews.group_review(member, NOON)


def test_techniques_are_ranked_by_need(given, club, coach) -> None:
    people = [make_membership(club, f"M{n}") for n in range(6)]
    for one in people:
        weeks_of_plans(given, one, 2, answered=False)
    found = group_reviews.group_review(coach, MONDAY)
    first = found.techniques[0]
    # Everybody is below the target, and so is the group itself.
    assert (first.code, len(first.lacking), first.group_lacks) == ("base_turn", 6, True)
    # The chance that somebody with 0 of 10 is below the target is all but 1. The club began in
    # the second of the four weeks.
    assert first.need == pytest.approx(first.lost / (found.weeks - 1), rel=1e-3)
    assert first.tally == Tally(0, 60)
    assert found.next_lesson == first
    for one in people:
        (line,) = reviews.member_review(one, MONDAY, viewer=one).to_work_on
        assert (line.code, line.learning, line.group_more_often) == ("base_turn", True, False)


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
    put_in("Builders", member)
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
    viewer = Membership.objects.select_related("club", "person").get(pk=coach.pk)
    with django_assert_num_queries(22):
        group_reviews.group_review(viewer, NOON)


def test_weeks_with_other_rules_than_before_are_marked(given, member) -> None:
    week = timedelta(weeks=1)
    for number, fields in enumerate(
        ({}, {"colours": ["white", "yellow"]}, {"colours": ["white", "yellow"]}), start=1
    ):
        opens = NOON - (4 - number) * week
        given.a_set(opens=opens, closes=opens + timedelta(days=1), **fields)
    # The last has fewer scrambles than the one before.
    opens = NOON - timedelta(days=2)
    given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",))
    found = reviews.member_review(member, NOON, viewer=member, weeks=5).weeks
    assert [one.new_rules for one in found] == [False, False, True, False, True]


def test_weeks_begin_on_mondays_of_the_clubs_calendar(member) -> None:
    found = reviews.member_review(member, NOON, viewer=member, weeks=3)
    assert [week.monday for week in found.weeks] == [
        date(2026, 11, 9),
        date(2026, 11, 16),
        date(2026, 11, 23),
    ]


# Lessons ----------------------------------------------------------------------


def test_lengths_are_fitted_to_what_the_group_finds(given, club, coach, member) -> None:
    assert lessons.fitting_lengths(ScrambleSet.objects.all()) == (4, 6)
    weeks_of_plans(given, member, 1, answered=True)
    assert lessons.fitting_lengths(ScrambleSet.objects.all()) == (3, 4)


def test_homework_shows_its_own_rate_apart_and_the_as_drawn_rates_around_it(
    given, club, coach, member
) -> None:
    day = timedelta(days=1)
    # The four weeks before the homework are left out.
    spans = [NOON - timedelta(days=n, hours=13) for n in (40, 3, 1)]
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
    assert found.looked is not None
    assert (found.looked.taught.before, found.own, found.looked.taught.after) == (
        Tally(0, 5),
        Tally(4, 5),
        Tally(5, 5),
    )


def test_lessons_are_for_coaches_and_for_techniques_that_exist(coach, member) -> None:
    for viewer, code in ((member, "base_turn"), (coach, "no_such_idea")):
        with pytest.raises(Sealed):
            lessons.lesson(viewer, code, NOON)


# Who sees what ----------------------------------------------------------------


def test_a_review_is_for_its_member_and_the_coaches_of_the_club(
    member, second, coach, outsider
) -> None:
    assert reviews.review_for(member, member.pk, NOON).membership == member
    assert reviews.review_for(coach, member.pk, NOON).membership == member
    for stranger in (second, outsider):
        with pytest.raises(Sealed):
            reviews.review_for(stranger, member.pk, NOON)
    with pytest.raises(Sealed):
        reviews.review_for(coach, member.pk + 1000, NOON)


def test_what_only_coaches_may_know_is_in_no_members_review(given, member, coach) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    a_set = given.a_set(
        opens=opens,
        closes=opens + timedelta(days=1),
        answers_to=Sight.COACHES,
        table_to=Sight.COACHES,
    )
    past(given, member, a_set, BASE_TURN[2])
    assert reviews.review_for(coach, member.pk, NOON).lost == 3
    own = reviews.review_for(member, member.pk, NOON)
    assert (own.plans, own.lost, own.weeks[-1].plans, own.examples) == (0, 0, 0, {})


def test_own_practice_is_in_no_review(given, member, coach) -> None:
    opens = NOON - timedelta(days=1, hours=13)
    practice = given.a_set(
        opens=opens,
        closes=opens + timedelta(days=1),
        kind=Kind.PRACTICE,
        drawn=Drawn.PICKED,
        for_member=member,
    )
    past(given, member, practice, BASE_TURN[2])
    for viewer in (member, coach):
        found = reviews.review_for(viewer, member.pk, NOON)
        assert {one.picked for one in found.lines} == {Tally(0, 0)}
    assert group_reviews.group_review(coach, NOON, drawn=Drawn.PICKED).items == ()


def test_crosses_to_choose_from_are_counted_in_the_atlas(monkeypatch) -> None:
    monkeypatch.setattr(lessons, "atlas", lambda: None)
    assert lessons.matching_crosses("base_turn", 2, 8) is None
    monkeypatch.setattr(lessons, "atlas", atlas)
    # Called for at the start of half of all crosses (the definitions, to two decimals); of
    # length eight there are 102 crosses in all (published).
    assert round(lessons.matching_crosses("base_turn", 0, 8) / STATE_COUNT, 2) == 0.5
    parts = [lessons.matching_crosses("base_turn", n, n) for n in range(9)]
    assert sum(parts) == lessons.matching_crosses("base_turn", 0, 8)
    assert parts[6] > 0
    assert parts[8] <= 102
    assert lessons.matching_crosses("no_such_idea", 2, 8) is None


def test_the_weeks_moves_are_the_same_by_member_and_by_cause(given, coach, member, second) -> None:
    today = given.a_set()
    given.a_plan(member, today, 1, BASE_TURN[2])
    given.a_plan(second, today, 1, "U U' D' R'")
    found = overview(Membership.objects.select_related("club").get(pk=coach.pk), NOON)
    assert [(one.code, one.lost) for one in found.lost_to] == [
        ("base_turn", 3.0),
        ("undone_moves", 2.0),
    ]
    assert sum(one.lost for one in found.lost_to) == sum(one.lost for one in found.losses)
