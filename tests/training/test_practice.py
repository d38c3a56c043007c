"""Practice and homework: what was missed comes back, picked sets stay apart from the table."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
from django.db import IntegrityError, transaction

from solverworker import review
from solverworker.cube.chance import Stream
from solverworker.cube.colours import CENTRE_OF_COLOUR
from solverworker.cube.holds import HOLDS
from solverworker.cube.variants import crosses, held
from solverworker.report import COLOURS
from solverworker.search.scramble import draw_scramble
from tests.conftest import NOON, make_membership
from tests.history import weeks_of_plans
from training import refusals, visibility
from training.ladder import Ladder
from training.models import (
    Drawn,
    Kind,
    Plan,
    PracticeDue,
    Scramble,
    ScrambleSet,
    Standing,
    TechniqueCount,
)
from training.selectors import coach as coach_selectors
from training.selectors import plans as plan_selectors
from training.selectors import practice as practice_selectors
from training.selectors import tables
from training.selectors.practice import practice_of
from training.services.lesson_sets import make_club_night, make_homework
from training.services.practice import AFTER_DAYS, MORE, go_on, prepare
from training.services.sets import fill_picked
from training.visibility import Sealed

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


# What comes first, how long, in which shape -------------------------------------


def test_what_is_due_comes_by_moves_lost(given, member) -> None:
    """Not by the alphabet: most was lost to the last of these three."""
    a_set = given.a_set()
    for code, lost in (("base_turn", 1.0), ("relative_build", 2.5), ("shared_turn", 6.0)):
        PracticeDue.objects.create(membership=member, code=code, due_on=TODAY)
        TechniqueCount.objects.create(
            membership=member, scramble_set=a_set, code=code, called=3, answered=0, lost=lost
        )
    made = prepare(membership=member, now=NOON)
    assert made.drawn_to.techniques == ("shared_turn", "relative_build")
    assert [one.code for one in practice_of(member, NOON).due_now] == [
        "shared_turn",
        "relative_build",
        "base_turn",
    ]


def practised(given, member, day: int, results: str) -> None:
    """A practice of crosses of two moves some days from today: exact ones and others."""
    at = NOON + timedelta(days=day)
    made = prepare(membership=member, now=at)
    made.scrambles.all().delete()
    for number, exact in enumerate(results, start=1):
        Scramble.objects.create(scramble_set=made, number=number, text="R D")
        given.a_plan(member, made, number, "D' R'" if exact == "1" else "U D' R'", at=at)


def rung_on(member, day: int) -> tuple[int, int]:
    return prepare(membership=member, now=NOON + timedelta(days=day)).drawn_to.lengths


def test_the_ladder_climbs_with_eight_exact_of_the_last_ten(given, member) -> None:
    practised(given, member, 0, "11100")
    practised(given, member, 1, "1111")
    assert rung_on(member, 2) == (2, 2), "seven of nine"
    practised(given, member, 3, "1")
    assert practice_of(member, NOON + timedelta(days=3)).ladder == Ladder(2, 10, 8)
    assert rung_on(member, 4) == (3, 3)
    assert practice_of(member, NOON + timedelta(days=4)).ladder == Ladder(3, 0, 0)
    # Nothing was tried on the new rung: it stays.
    assert rung_on(member, 5) == (3, 3)


def test_seven_exact_of_the_last_ten_are_not_enough(given, member) -> None:
    practised(given, member, 0, "1110010111")
    assert rung_on(member, 1) == (2, 2)


def test_practice_is_one_beyond_the_reach(given, member, monkeypatch) -> None:
    found = {}

    def reach_is(reach):
        real = practice_selectors.member_review

        def review(*args, **named):
            one = real(*args, **named)
            steps = (1.0,) * reach + (0.4,) * (8 - reach)
            account = replace(one.account, reach=replace(one.account.reach, at_least=steps))
            return replace(one, account=account)

        return review

    for day, reach in enumerate((1, 3, 5, 8)):
        with monkeypatch.context() as patched:
            patched.setattr(practice_selectors, "member_review", reach_is(reach))
            found[reach] = rung_on(member, day)
    # A beginner's ladder starts at what is seen, not below two moves.
    assert found == {1: (2, 2), 3: (3, 3), 5: (6, 6), 8: (7, 8)}


def test_one_long_exact_plan_is_no_reach_yet(given, member) -> None:
    """A step with fewer than five plans at risk says nothing: the ladder begins at two."""
    a_set = given.a_set(
        opens=NOON - timedelta(days=2),
        closes=NOON - timedelta(days=1),
        scrambles=("F2 B U2 D' U2 L R D L' F' B L U D",),
    )
    given.a_plan(member, a_set, 1, "F D2 R L B D", at=NOON - timedelta(days=1, hours=12))
    assert rung_on(member, 0) == (2, 2)


def test_a_missed_cross_that_is_too_long_does_not_come_back_itself(given, member) -> None:
    """A beginner is never alone with a long one: a short one stands for the idea."""
    long = "F2 B U2 D' U2 L R D L' F' B L U D"
    a_set = given.a_set(
        opens=NOON - timedelta(hours=13), closes=NOON + timedelta(hours=11), scrambles=(long,)
    )
    given.a_plan(member, a_set, 1, "D2 B' D F L U' F2 B", at=NOON)
    assert [code for code, _step, _day in note_of(member)] == ["relative_build"]
    made = prepare(membership=member, now=NOON + timedelta(days=1))
    assert made.scrambles.count() == 0
    assert made.drawn_to.fresh == ("relative_build", "relative_build")
    assert made.drawn_to.lengths == (2, 2)


@pytest.mark.parametrize("colour", COLOURS)
def test_a_missed_cross_comes_back_in_a_new_shape_each_time(given, club, member, colour) -> None:
    club.colours = [colour]
    club.save()
    yellow, centre = CENTRE_OF_COLOUR["yellow"], CENTRE_OF_COLOUR[colour]
    scramble = held("R D", next(n for n, hold in enumerate(HOLDS) if hold.index(yellow) == centre))
    had = [scramble]
    PracticeDue.objects.create(
        membership=member, code="base_turn", due_on=TODAY, missed_plan=a_miss(given, member, had[0])
    )
    for day in range(1, 5):
        made = prepare(membership=member, now=NOON + timedelta(days=day))
        shape = made.scrambles.get().text
        had.append(shape)
        solved = review.solve(shape, colours=[colour])[colour]
        assert solved.best == 2
    assert len({crosses(text, [colour]) for text in had}) == 5


def a_miss(given, member, scramble: str):
    a_set = given.a_set(opens=NOON - timedelta(days=3), scrambles=(scramble,))
    return given.a_plan(member, a_set, 1, None)


def test_practice_goes_on_if_one_wants(given, member) -> None:
    PracticeDue.objects.create(membership=member, code="base_turn", due_on=TODAY)
    made = prepare(membership=member, now=NOON)
    fill_picked(drawer=drawer, now=NOON)
    go_on(membership=member, now=NOON)
    made.refresh_from_db()
    assert made.scrambles_wanted == 2, "these two come first"
    for more in range(3):
        for number in (1, 2):
            given.a_plan(member, made, MORE * more + number, None)
        assert practice_of(member, NOON).done
        go_on(membership=member, now=NOON)
        go_on(membership=member, now=NOON)
        made.refresh_from_db()
        assert made.scrambles_wanted == 2 + MORE * (more + 1)
        assert fill_picked(drawer=drawer, now=NOON) == MORE
        assert made.drawn_to.called_by(made.scrambles_wanted) == "base_turn"
        assert not practice_of(member, NOON).done
    assert made.scrambles.count() == 8


# Homework -----------------------------------------------------------------------


def homework(coach, **changes) -> ScrambleSet:
    entry = {
        "code": "base_turn",
        "scrambles": 4,
        "lengths": (4, 6),
        "opens_day": TODAY,
        "days": 3,
        "now": NOON,
    }
    return make_homework(by=coach, **{**entry, **changes})


def test_homework_is_a_picked_set_drawn_by_a_worker_to_its_profile(given, coach, member) -> None:
    made = homework(coach)
    assert (made.kind, made.drawn, made.opens_at) == (Kind.HOMEWORK, Drawn.PICKED, NOON)
    assert plan_selectors.set_for(member, made.pk, NOON).scrambles == ()
    asked: list[tuple] = []

    def watching(technique, lengths, colours, seed) -> str:
        asked.append((technique, tuple(lengths or ())))
        return draw_scramble(Stream(seed))

    assert fill_picked(drawer=watching, now=NOON) == 4
    assert asked == [("base_turn", (4, 6))] * 4
    (today,) = plan_selectors.sets_now(member, NOON)
    assert today.head.title == "Homework from Wednesday"
    given.a_plan(member, made, 1, "U")
    assert tables.week_table(coach, TODAY, made.closes_at).sets == ()


def test_a_drawer_in_trouble_leaves_the_set_for_the_next_tick(coach, caplog) -> None:
    homework(coach)

    def broken(*args: object) -> str:
        raise RuntimeError

    assert fill_picked(drawer=broken, now=NOON) == 0
    assert "could be drawn" in caplog.text
    assert fill_picked(drawer=drawer, now=NOON) == 4


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"code": "magic"}, "code"),
        ({"scrambles": 0}, "scrambles"),
        ({"lengths": (6, 4)}, "lengths"),
        ({"lengths": (1, 9)}, "lengths"),
        ({"days": 0}, "days"),
        ({"opens_day": TODAY - timedelta(days=1)}, "opens_day"),
    ],
)
def test_homework_that_makes_no_sense_is_refused(coach, changes, field) -> None:
    with pytest.raises(refusals.InvalidEntry) as refused:
        homework(coach, **changes)
    assert refused.value.field == field
    assert not ScrambleSet.objects.exists()


def test_members_give_no_homework(member) -> None:
    with pytest.raises(refusals.NotAllowed):
        homework(member)


def club_night(coach, **changes) -> ScrambleSet:
    entry = {
        "code": "base_turn",
        "scrambles": 4,
        "lengths": (4, 6),
        "day": TODAY,
        "begins": time(12, 30),
        "minutes": 90,
        "now": NOON,
    }
    return make_club_night(by=coach, **{**entry, **changes})


def test_a_club_night_that_has_begun_opens_at_once_and_ends_as_planned(coach, member) -> None:
    made = club_night(coach)  # noon in UTC is one o'clock in Oslo
    assert (made.kind, made.opens_at) == (Kind.CLUB_NIGHT, NOON)
    assert made.closes_at == NOON + timedelta(hours=1)
    assert fill_picked(drawer=drawer, now=NOON) == 4
    (now,) = plan_selectors.sets_now(member, NOON)
    assert now.head.title == "Wednesday’s club night"
    assert tables.week_table(coach, TODAY, made.closes_at).sets == ()


def test_a_club_night_to_come_stays_sealed(coach, member) -> None:
    made = club_night(coach, begins=time(18, 30))
    assert fill_picked(drawer=drawer, now=NOON) == 4
    with pytest.raises(Sealed):
        plan_selectors.scramble_for(member, made.pk, 1, NOON)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"minutes": 4}, "minutes"),
        ({"minutes": 241}, "minutes"),
        ({"begins": time(9, 0)}, "begins"),
        ({"code": "magic"}, "code"),
    ],
)
def test_a_club_night_that_makes_no_sense_is_refused(coach, changes, field) -> None:
    with pytest.raises(refusals.InvalidEntry) as refused:
        club_night(coach, **changes)
    assert refused.value.field == field
    assert not ScrambleSet.objects.exists()


def test_members_set_no_club_night(member) -> None:
    with pytest.raises(refusals.NotAllowed):
        club_night(member)


def test_homework_of_another_day_opens_at_the_clubs_midnight(coach) -> None:
    made = homework(coach, opens_day=TODAY + timedelta(days=1))
    assert made.opens_at == NOON + timedelta(hours=11)
    assert made.closes_at - made.opens_at == timedelta(days=3)
    assert not Plan.objects.exists()
