"""Who sees what, when: sealed to the second, for everybody, by every path."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conftest import NOON, make_membership
from tests.grouping import put_in
from training import visibility
from training.models import Drawn, Kind, Role, ScrambleSet, Standing
from training.rules import Sight
from training.selectors import coach as coach_selectors
from training.selectors import plans, tables
from training.selectors.plans import State
from training.visibility import OwnPlans, Sealed

pytestmark = pytest.mark.django_db

NONE_IN = OwnPlans(frozenset(), frozenset(range(1, 6)))
FIRST_IN = OwnPlans(frozenset({1}), frozenset(range(1, 6)))
ALL_IN = OwnPlans(frozenset(range(1, 6)), frozenset(range(1, 6)))
ALL_BUT_FIRST = OwnPlans(frozenset(range(2, 6)), frozenset(range(1, 6)))
ALL_BUT_LAST = OwnPlans(frozenset(range(1, 5)), frozenset(range(1, 6)))


def test_a_set_is_sealed_for_everybody_until_the_second_it_opens(given, member, coach) -> None:
    a_set = given.a_set(opens=NOON, closes=NOON + timedelta(hours=1))
    a_second_before = NOON - timedelta(seconds=1)
    for viewer in (member, coach):
        with pytest.raises(Sealed):
            plans.set_for(viewer, a_set.pk, a_second_before)
        with pytest.raises(Sealed):
            plans.scramble_row(viewer, a_set.pk, 1, a_second_before)
        with pytest.raises(Sealed):
            tables.set_table(viewer, a_set.pk, a_second_before)
        assert plans.sets_now(viewer, a_second_before) == []
        assert plans.own_set_count(viewer, a_second_before) == 0
        assert plans.set_for(viewer, a_set.pk, NOON).scrambles
    with pytest.raises(Sealed):
        coach_selectors.set_overview(coach, a_set.pk, a_second_before)
    assert coach_selectors.overview(coach, a_second_before).sets == ()


def test_another_clubs_sets_plans_and_tables_are_not_there(given, member, outsider) -> None:
    a_set = given.a_set()
    plan = given.a_plan(member, a_set, 1, "D' R'")
    for look in (plans.set_for, tables.set_table, coach_selectors.set_overview):
        with pytest.raises(Sealed):
            look(outsider, a_set.pk, NOON)
    with pytest.raises(Sealed):
        coach_selectors.plan_for_coach(outsider, plan.pk, NOON)


@pytest.mark.parametrize(
    ("sight", "own", "open_now", "open_after_closing"),
    [
        (Sight.OPEN, NONE_IN, True, True),
        (Sight.OWN_PLAN, NONE_IN, False, True),
        (Sight.OWN_PLAN, FIRST_IN, True, True),
        (Sight.CLOSING, FIRST_IN, False, True),
        (Sight.CLOSING, ALL_IN, False, True),
        (Sight.COACHES, ALL_IN, False, False),
    ],
)
def test_answers_open_by_the_sets_choice_scramble_by_scramble(
    given, member, coach, sight, own, open_now, open_after_closing
) -> None:
    a_set = given.a_set(answers_to=sight)
    closed = a_set.closes_at
    assert visibility.sees_answers(member, a_set, 1, own, NOON) is open_now
    assert visibility.sees_answers(member, a_set, 1, own, closed) is open_after_closing
    assert visibility.sees_answers(coach, a_set, 1, NONE_IN, NOON)


def test_the_answer_of_one_scramble_does_not_open_with_anothers_plan(given, member) -> None:
    a_set = given.a_set()
    assert visibility.sees_answers(member, a_set, 1, FIRST_IN, NOON)
    assert not visibility.sees_answers(member, a_set, 2, FIRST_IN, NOON)


@pytest.mark.parametrize("answers", list(Sight))
@pytest.mark.parametrize("table", list(Sight))
@pytest.mark.parametrize("own", [NONE_IN, FIRST_IN, ALL_BUT_FIRST, ALL_BUT_LAST, ALL_IN])
@pytest.mark.parametrize("hours", [0, 11, 12])
def test_a_table_never_opens_before_the_answers(given, member, answers, table, own, hours) -> None:
    a_set = given.a_set(answers_to=answers, table_to=table)
    now = NOON + timedelta(hours=hours)
    if visibility.sees_table(member, a_set, own, now):
        assert all(visibility.sees_answers(member, a_set, n, own, now) for n in range(1, 6))


def looks(viewer, a_set, own, now) -> list[bool]:
    """Whether anything at all of a set is open, asked of each rule by both its halves."""
    asked = [
        (visibility.sees_set, visibility.require_set, (a_set, now)),
        *(
            (visibility.sees_answers, visibility.require_answers, (a_set, number, own, now))
            for number in range(1, 6)
        ),
        (visibility.sees_table, visibility.require_table, (a_set, own, now)),
        (visibility.sees_others_plans, visibility.require_others_plans, (a_set, own, now)),
    ]
    found = []
    for sees, require, more in asked:
        found.append(sees(viewer, *more))
        if found[-1]:
            require(viewer, *more)
        else:
            with pytest.raises(Sealed):
                require(viewer, *more)
    return found


@pytest.mark.parametrize("sight", list(Sight))
def test_of_another_clubs_set_nothing_is_open_to_anybody(
    given, coach, member, outsider, other_club, sight
) -> None:
    a_set = given.a_set(answers_to=sight, table_to=sight)
    racing = make_membership(other_club, "Sol", Role.COACH, competes=True)
    for stranger in (outsider, racing, make_membership(other_club, "Ume")):
        for now in (NOON, a_set.closes_at):
            assert not any(looks(stranger, a_set, ALL_IN, now))
    assert all(looks(coach, a_set, NONE_IN, NOON))


@pytest.mark.parametrize("sight", list(Sight))
def test_of_a_set_that_has_not_opened_nothing_is_open_to_anybody(
    given, club, coach, owner, member, sight
) -> None:
    a_set = given.a_set(
        opens=NOON, closes=NOON + timedelta(hours=1), answers_to=sight, table_to=sight
    )
    racing = make_membership(club, "Rune", Role.COACH, competes=True)
    for viewer in (coach, owner, member, racing):
        assert not any(looks(viewer, a_set, ALL_IN, NOON - timedelta(seconds=1)))
    assert all(looks(owner, a_set, NONE_IN, NOON))


@pytest.mark.parametrize("sight", list(Sight))
def test_of_somebody_elses_practice_nothing_is_open_to_anybody(
    given, coach, owner, member, second, sight
) -> None:
    own = given.a_set(
        kind=Kind.PRACTICE,
        drawn=Drawn.PICKED,
        for_member=member,
        answers_to=sight,
        table_to=sight,
    )
    for other in (coach, owner, second):
        for now in (NOON, own.closes_at):
            assert not any(looks(other, own, ALL_IN, now))
    assert visibility.sees_set(member, own, NOON)
    assert visibility.sees_answers(member, own, 1, ALL_IN, NOON) is (
        sight in {Sight.OPEN, Sight.OWN_PLAN}
    )


def test_an_archived_coach_is_no_coach_any_more(given, club) -> None:
    gone = make_membership(club, "Gone", Role.COACH, standing=Standing.ARCHIVED)
    a_set = given.a_set(answers_to=Sight.COACHES, table_to=Sight.COACHES)
    assert looks(gone, a_set, ALL_IN, a_set.closes_at) == [True] + [False] * 7
    assert not visibility.sees_group(gone)
    assert list(visibility.lesson_sets(gone, "base_turn")) == []


def test_the_lists_hold_exactly_the_sets_that_the_rule_lets_see(
    given, club, other_club, member, second, coach
) -> None:
    opened = given.a_set()
    given.a_set(opens=NOON + timedelta(hours=12), closes=NOON + timedelta(hours=36))
    practice = given.a_set(
        opens=NOON - timedelta(hours=1), kind=Kind.PRACTICE, drawn=Drawn.PICKED, for_member=member
    )
    given.a_set(club=other_club)
    for viewer in (member, second, coach):
        listed = set(visibility.visible_sets(viewer, NOON))
        assert listed == {
            one for one in ScrambleSet.objects.all() if visibility.sees_set(viewer, one, NOON)
        }
        assert listed == ({opened, practice} if viewer is member else {opened})
        assert set(visibility.shared_sets(viewer, NOON)) == {opened}
        # So does each by its number, which pages ask for.
        assert listed == {
            plans.set_row(viewer, one.pk, NOON)
            for one in ScrambleSet.objects.all()
            if visibility.sees_set(viewer, one, NOON)
        }
        for one in ScrambleSet.objects.exclude(pk__in={each.pk for each in listed}):
            with pytest.raises(Sealed):
                plans.set_row(viewer, one.pk, NOON)


def test_a_set_that_closed_before_somebody_joined_is_not_theirs(given, club) -> None:
    a_set = given.a_set()
    for joined, theirs in ((a_set.closes_at - timedelta(seconds=1), 1), (a_set.closes_at, 0)):
        who = make_membership(club, f"M{theirs}", joined_at=joined)
        now = NOON + timedelta(days=1)
        assert visibility.sets_since_joining(who, now).count() == theirs


def test_a_lessons_sets_are_listed_for_coaches_of_the_club_alone(
    given, coach, member, outsider
) -> None:
    to_come = given.a_set(opens=NOON + timedelta(hours=1), kind=Kind.HOMEWORK, drawn=Drawn.PICKED)
    assert list(visibility.lesson_sets(coach, "base_turn")) == [to_come]
    for other in (member, outsider):
        assert list(visibility.lesson_sets(other, "base_turn")) == []
    assert list(visibility.lesson_sets(coach, "shared_turn")) == []


def test_a_review_is_the_members_own_and_the_coaches(
    club, coach, owner, member, second, outsider
) -> None:
    assert [visibility.sees_review(who, member) for who in (member, coach, owner)] == [True] * 3
    for other in (second, outsider):
        assert not visibility.sees_review(other, member)
        with pytest.raises(Sealed):
            visibility.require_review(other, member)
    with pytest.raises(Sealed):
        visibility.require_review(coach, None)
    assert visibility.require_review(coach, member) is member
    gone = make_membership(club, "Gone")
    gone.standing = Standing.FORMER
    assert visibility.sees_review(coach, gone)
    with pytest.raises(Sealed):
        visibility.require_review(coach, gone)


def test_reviews_tell_of_closed_shared_sets_and_members_of_no_answers_kept_from_them(
    given, coach, member, other_club
) -> None:
    since, until = NOON - timedelta(days=3), NOON

    def closing(at, **fields):
        return given.a_set(opens=at - timedelta(hours=1), closes=at, **fields)

    told = closing(until)
    closing(until, club=other_club)
    kept = closing(until - timedelta(days=1), answers_to=Sight.COACHES, table_to=Sight.COACHES)
    closing(since)
    closing(until + timedelta(seconds=1), kind=Kind.HOMEWORK)
    closing(until - timedelta(days=2), kind=Kind.PRACTICE, drawn=Drawn.PICKED, for_member=member)
    homework = closing(until - timedelta(hours=3), kind=Kind.HOMEWORK, drawn=Drawn.PICKED)
    assert set(visibility.reviewed_sets(coach, since, until)) == {told, kept}
    assert set(visibility.reviewed_sets(member, since, until)) == {told}
    picked = visibility.reviewed_sets(member, since, until, drawn=Drawn.PICKED)
    assert set(picked) == {homework}


def test_who_is_looked_at_in_reviews(club, coach, member, second, other_club) -> None:
    make_membership(other_club, "Far")
    racing = make_membership(club, "Rune", Role.COACH, competes=True)
    make_membership(club, "Gone", standing=Standing.ARCHIVED)
    make_membership(club, "Wee", standing=Standing.CONSENT, under_18=True)
    put_in("Late", second)
    assert list(visibility.reviewed_members(coach)) == [second, member, racing]
    # By name because it is asked for, not because an index happens to have them so.
    assert visibility.reviewed_members(coach).ordered
    assert list(visibility.reviewed_members(coach, "Late")) == [second]


def test_by_default_the_table_opens_once_all_own_plans_are_in(given, member) -> None:
    a_set = given.a_set()
    assert not visibility.sees_table(member, a_set, FIRST_IN, NOON)
    assert visibility.sees_table(member, a_set, ALL_IN, NOON)
    assert visibility.sees_table(member, a_set, NONE_IN, a_set.closes_at)


def test_a_coach_who_competes_is_in_sealed_mode_until_the_own_plans_are_in(
    given, club, member
) -> None:
    racing = make_membership(club, "Rune", Role.COACH, competes=True)
    a_set = given.a_set()
    plan = given.a_plan(member, a_set, 1, "D' R'")
    assert not visibility.sees_answers(racing, a_set, 1, NONE_IN, NOON)
    assert not visibility.sees_others_plans(racing, a_set, FIRST_IN, NOON)
    with pytest.raises(Sealed):
        coach_selectors.plan_for_coach(racing, plan.pk, NOON)
    seen = coach_selectors.set_overview(racing, a_set.pk, NOON)
    assert not seen.plans_open
    assert [day.member for day in seen.handed_in] == ["Ines"]
    assert all(day.plans == () and day.excess is None for day in seen.handed_in)
    losses = coach_selectors.overview(racing, NOON).losses
    assert all(loss.plans == 0 for loss in losses)
    assert visibility.in_sealed_mode(racing, a_set, NOON)
    assert not visibility.in_sealed_mode(member, a_set, NOON)
    assert not visibility.in_sealed_mode(racing, a_set, a_set.closes_at)
    assert visibility.sees_others_plans(racing, a_set, ALL_IN, NOON)
    assert visibility.sees_others_plans(racing, a_set, NONE_IN, a_set.closes_at)


def test_for_coaches_only_a_competing_coach_gets_there_by_handing_in(given, club) -> None:
    racing = make_membership(club, "Rune", Role.COACH, competes=True)
    a_set = given.a_set(answers_to=Sight.COACHES, table_to=Sight.COACHES)
    assert not visibility.sees_table(racing, a_set, FIRST_IN, NOON)
    assert visibility.sees_table(racing, a_set, ALL_IN, NOON)


def test_members_never_read_the_plans_of_others(given, member, second) -> None:
    a_set = given.a_set(answers_to=Sight.OPEN, table_to=Sight.OPEN)
    plan = given.a_plan(second, a_set, 1, "D' R'")
    for now in (NOON, a_set.closes_at):
        with pytest.raises(Sealed):
            coach_selectors.plan_for_coach(member, plan.pk, now)
    with pytest.raises(Sealed):
        coach_selectors.overview(member, NOON)


def test_a_sealed_plan_shows_solved_and_moves_but_nothing_of_the_best(given, member) -> None:
    a_set = given.a_set(answers_to=Sight.CLOSING)
    given.a_plan(member, a_set, 1, "D' R'")
    _, seen = plans.scramble_for(member, a_set.pk, 1, NOON)
    assert seen.plan is not None
    assert (seen.state, seen.plan.solved, seen.plan.moves) == (State.SEALED, True, 2)
    assert seen.plan.report is None
    _, seen = plans.scramble_for(member, a_set.pk, 1, a_set.closes_at)
    assert seen.plan is not None
    assert seen.plan.report is not None


def test_the_states_of_a_set_are_those_of_the_members_own_plans(given, member, second) -> None:
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "D' R'")
    given.a_plan(member, a_set, 2, "U")
    given.a_plan(member, a_set, 3, "U", checked=False)
    given.a_plan(second, a_set, 4, "U")
    states = [one.state for one in plans.set_for(member, a_set.pk, NOON).scrambles]
    assert states == [
        State.CHECKED,
        State.NOT_SOLVED,
        State.WAITING,
        State.TO_PLAN,
        State.TO_PLAN,
    ]
    closed = plans.set_for(member, a_set.pk, a_set.closes_at)
    assert closed.scrambles[3].state == State.MISSED
    assert closed.to_plan == ()
