"""A member's own practice: what was missed comes back, and whose it is."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction

from solverworker import tasks
from solverworker.cube.chance import Stream
from solverworker.search.scramble import draw_scramble
from tests.conftest import NOON, make_membership
from tests.history import weeks_of_plans
from training import refusals, visibility
from training.coming_back import AFTER_DAYS
from training.models import (
    PracticeDue,
    Scramble,
    Standing,
)
from training.selectors import coach as coach_selectors
from training.selectors import plans as plan_selectors
from training.selectors import tables
from training.selectors.practice import practice_of
from training.services import corrections
from training.services.practice import prepare
from training.services.sets import fill_picked

pytestmark = pytest.mark.django_db

TODAY = date(2026, 11, 25)
WITHOUT_BASE_TURN = "R U' R' B2 D'"


def note_of(who) -> list[tuple[str, int, date]]:
    return [(one.code, one.step, one.due_on) for one in PracticeDue.objects.filter(membership=who)]


def a_day(given, who, days: int, moves: str):
    """One plan for the scramble ``R D`` in a set of its own, some days from today."""
    opens = NOON + timedelta(days=days, hours=-13)
    a_set = given.a_set(opens=opens, closes=opens + timedelta(days=1), scrambles=("R D",))
    return given.a_plan(who, a_set, 1, moves, at=NOON + timedelta(days=days))


def test_a_missed_technique_comes_back_after_one_six_and_fifteen_days(given, member) -> None:
    assert AFTER_DAYS == (1, 6, 15)  # common practice, from memory
    missed = a_day(given, member, 0, WITHOUT_BASE_TURN)
    assert note_of(member) == [("base_turn", 0, TODAY + timedelta(days=1))]
    assert PracticeDue.objects.get().missed_plan == missed
    a_day(given, member, 1, "D' R'")
    assert note_of(member) == [("base_turn", 1, TODAY + timedelta(days=7))]
    a_day(given, member, 7, "D' R'")
    assert note_of(member) == [("base_turn", 2, TODAY + timedelta(days=22))]
    a_day(given, member, 22, "D' R'")
    assert note_of(member) == [("base_turn", 2, TODAY + timedelta(days=37))]
    # Answered in 4 of the last 5: it is let go.
    a_day(given, member, 37, "D' R'")
    assert note_of(member) == []


def test_a_technique_is_let_go_at_four_answers_of_the_last_five_and_never_at_a_miss(
    given, member
) -> None:
    for day, answered in enumerate("011011"):
        assert PracticeDue.objects.filter(membership=member).exists() == (day > 0)
        a_day(given, member, day, "D' R'" if answered == "1" else WITHOUT_BASE_TURN)
    # The last five are 1 1 0 1 1.
    assert note_of(member) == []


def test_three_answers_of_the_last_five_are_not_enough(given, member) -> None:
    for day, answered in enumerate("0110011001"):
        a_day(given, member, day, "D' R'" if answered == "1" else WITHOUT_BASE_TURN)
        last = "0110011001"[max(0, day - 4) : day + 1]
        assert PracticeDue.objects.get().last == last
    assert PracticeDue.objects.get().code == "base_turn"


def test_a_new_miss_goes_back_to_the_start_and_an_early_answer_changes_nothing(
    given, member
) -> None:
    a_day(given, member, 0, WITHOUT_BASE_TURN)
    a_day(given, member, 1, "D' R'")
    a_day(given, member, 3, "D' R'")
    assert note_of(member) == [("base_turn", 1, TODAY + timedelta(days=7))]
    a_day(given, member, 4, WITHOUT_BASE_TURN)
    assert note_of(member) == [("base_turn", 0, TODAY + timedelta(days=5))]


def test_an_unsolved_plan_says_nothing_about_techniques(given, member) -> None:
    a_day(given, member, 0, "U")
    assert note_of(member) == []


@pytest.mark.parametrize("moves", ["U", None])
def test_without_a_solved_plan_what_a_practice_was_drawn_to_comes_back(
    given, member, moves
) -> None:
    PracticeDue.objects.create(membership=member, code="base_turn", due_on=TODAY, step=1)
    made = prepare(membership=member, now=NOON)
    fill_picked(drawer=lambda *_: "R D", now=NOON)
    missed = given.a_plan(member, made, 2, moves)
    assert note_of(member) == [("base_turn", 0, TODAY + timedelta(days=1))]
    assert PracticeDue.objects.get().missed_plan == missed
    again = prepare(membership=member, now=NOON + timedelta(days=1))
    assert again.drawn_to.calls == ("base_turn", "base_turn")
    assert again.scrambles.count() == 1


def test_with_nothing_due_practice_is_about_what_the_review_names(given, club, member) -> None:
    weeks_of_plans(given, member, 4, answered=False)
    for n in range(5):
        weeks_of_plans(given, make_membership(club, f"M{n}"), 4, answered=True)
    PracticeDue.objects.all().delete()
    assert practice_of(member, NOON).codes == ("base_turn",)
    made = prepare(membership=member, now=NOON)
    assert (made.drawn_to.fresh, made.drawn_to.techniques) == (("base_turn",) * 2, ("base_turn",))
    assert practice_of(member, NOON).codes == ("base_turn",)


def drawer(technique, lengths, colours, seed) -> str:
    return draw_scramble(Stream(seed))


def test_practice_brings_the_missed_cross_mirrored_and_a_fresh_one(given, member) -> None:
    a_day(given, member, 0, WITHOUT_BASE_TURN)
    tomorrow = NOON + timedelta(days=1)
    made = prepare(membership=member, now=tomorrow)
    assert [one.text for one in made.scrambles.all()] == ["L' D'"]
    assert (made.scrambles_wanted, made.drawn_to.fresh) == (2, ("base_turn",))
    asked: list[tuple] = []

    def watching(technique, lengths, colours, seed) -> str:
        asked.append((technique, lengths, tuple(colours)))
        return draw_scramble(Stream(seed))

    assert fill_picked(drawer=watching, now=tomorrow) == 1
    # Nothing solved in sets as drawn yet: the ladder begins at two moves.
    assert asked == [("base_turn", (2, 2), ("yellow",))]
    assert fill_picked(drawer=watching, now=tomorrow) == 0
    assert made.scrambles.count() == 2
    assert prepare(membership=member, now=tomorrow + timedelta(hours=2)).pk == made.pk


def test_with_nothing_due_practice_is_two_crosses_as_they_come(member) -> None:
    made = prepare(membership=member, now=NOON)
    assert (made.scrambles_wanted, made.drawn_to.fresh) == (2, (None, None))
    assert made.drawn_to.lengths == (2, 2)


def test_practice_is_never_more_than_five_crosses(given, member) -> None:
    for code in ("relative_build", "base_turn", "shared_turn", "step_aside"):
        PracticeDue.objects.create(membership=member, code=code, due_on=TODAY)
    assert 2 <= prepare(membership=member, now=NOON).scrambles_wanted <= 5


def test_practice_is_the_members_own(given, member, second, coach) -> None:
    made = prepare(membership=member, now=NOON)
    fill_picked(drawer=drawer, now=NOON)
    for other in (second, coach):
        with pytest.raises(visibility.Sealed):
            plan_selectors.set_for(other, made.pk, NOON)
        with pytest.raises(visibility.Sealed):
            plan_selectors.scramble_row(other, made.pk, 1, NOON)
    assert len(plan_selectors.set_for(member, made.pk, NOON).scrambles) == 2
    assert plan_selectors.sets_now(member, NOON) == []
    assert coach_selectors.overview(coach, NOON).sets == ()
    assert tables.day_table(coach, TODAY, NOON).sets == ()


def test_answers_of_practice_open_right_after_each_plan(given, member) -> None:
    made = prepare(membership=member, now=NOON)
    Scramble.objects.create(scramble_set=made, number=1, text="R D")
    given.a_plan(member, made, 1, "D' R'")
    _, seen = plan_selectors.scramble_for(member, made.pk, 1, NOON)
    assert seen.plan is not None
    assert seen.plan.report is not None


def test_one_practice_a_day_is_the_databases_word(member) -> None:
    made = prepare(membership=member, now=NOON)
    made.pk = None
    with pytest.raises(IntegrityError), transaction.atomic():
        made.save(force_insert=True)


def test_an_account_that_waits_for_consent_has_no_practice(club) -> None:
    child = make_membership(club, "Wee", under_18=True, standing=Standing.CONSENT)
    with pytest.raises(refusals.NotAllowed):
        prepare(membership=child, now=NOON)


def test_a_plan_that_does_not_count_any_more_has_missed_nothing(given, coach, member) -> None:
    missed = a_day(given, member, -1, WITHOUT_BASE_TURN)
    assert [code for code, _, _ in note_of(member)] == ["base_turn"]
    entry = corrections.void_scramble(scramble=missed.scramble, by=coach, reason="misprinted")
    assert note_of(member) == []
    corrections.undo(correction=entry, by=coach, reason="it was right")
    assert [code for code, _, _ in note_of(member)] == ["base_turn"]
    assert PracticeDue.objects.get().missed_plan == missed


def test_a_plan_checked_after_its_cross_was_taken_out_has_missed_nothing(
    given, coach, member
) -> None:
    a_set = given.a_set(scrambles=("R D",))
    plan = given.a_plan(member, a_set, 1, WITHOUT_BASE_TURN, checked=False)
    corrections.void_scramble(scramble=plan.scramble, by=coach, reason="misprinted", now=NOON)
    assert tasks.check_plan.run(plan.pk)
    assert note_of(member) == []
