"""The tables: what counts, when, for whom; against the rules of product and WCA 9f14."""

from __future__ import annotations

import random
from datetime import date, timedelta
from fractions import Fraction
from itertools import product

import pytest
from django.db.models import Count

from tests.conftest import NOON, Given, make_membership
from training.models import Membership, Role, ScrambleSet, Standing
from training.ranking import Score
from training.rules import Sight
from training.selectors import tables
from training.services.accounts import archive_membership
from training.services.corrections import withdraw_plan

pytestmark = pytest.mark.django_db

WEDNESDAY = date(2026, 11, 25)
MONDAY = date(2026, 11, 23)


def lines(table: tables.Table) -> list[tuple[int, str, int]]:
    return [(row.rank, row.member, row.score.points) for row in table.rows]


def fill(given: Given, who: Membership, a_set: ScrambleSet, *plans: str | None) -> None:
    for number, plan in enumerate(plans, start=1):
        given.a_plan(who, a_set, number, plan, at=a_set.opens_at)


BEST = ("D' R'", "R' D'", "F' R'", "R' F'", "B' R'")


def test_less_excess_first_then_more_solved_then_more_exact_then_equal_ranks(
    given, club, coach, member, second
) -> None:
    a_set = given.a_set()
    third = make_membership(club, "Cille")
    fourth = make_membership(club, "Dag")
    fill(given, member, a_set, *BEST)
    # Both lose two moves in all: one in one cross, one in two. More exact comes first.
    fill(given, second, a_set, "D D D R'", *BEST[1:])
    fill(given, third, a_set, "D D2 R'", "R R2 D'", *BEST[2:])
    fill(given, fourth, a_set, *BEST[:4], None)
    table = tables.set_table(coach, a_set.pk, a_set.closes_at)
    points = {row.member: row.score for row in table.rows}
    assert points["Ines"].points == 0
    assert points["Dag"].points == 8
    assert [row.member for row in table.rows][:1] == ["Ines"]
    assert [row.rank for row in table.rows] == [1, 2, 3, 4]


def test_with_equal_points_whoever_solved_more_comes_first(given, coach, member, second) -> None:
    # Product's rule: a cross that is not solved counts 8, and so does one solved 8 over its best.
    a_set = given.a_set()
    fill(given, second, a_set, "U", *BEST[1:])
    fill(given, member, a_set, "U U' " * 4 + "D' R'", *BEST[1:])
    for now in (NOON, a_set.closes_at):
        table = tables.set_table(coach, a_set.pk, now)
        assert lines(table) == [(1, "Ines", 8), (2, "Bashir", 8)]
        assert [row.score for row in table.rows] == [Score(8, 5, 4, 5), Score(8, 4, 4, 5)]


def test_with_equal_points_and_crosses_solved_more_at_the_best_come_first(
    given, coach, member, second
) -> None:
    a_set = given.a_set()
    fill(given, second, a_set, "D D2 R'", "R R2 D'", *BEST[2:])
    fill(given, member, a_set, "D D D R'", *BEST[1:])
    table = tables.set_table(coach, a_set.pk, NOON)
    assert lines(table) == [(1, "Ines", 2), (2, "Bashir", 2)]
    assert [row.score for row in table.rows] == [Score(2, 5, 4, 5), Score(2, 5, 3, 5)]


def test_a_week_adds_up_points_crosses_solved_and_crosses_at_the_best(
    given, coach, member, second
) -> None:
    sets = week(given, 3)
    for one, plan in zip(sets, ("D' R'", "D D2 R'", "U"), strict=True):
        fill(given, member, one, plan)
    fill(given, second, sets[0], "D D D R'")
    table = tables.week_table(coach, MONDAY, sets[-1].closes_at)
    assert [(row.member, row.score) for row in table.rows] == [
        ("Ines", Score(9, 2, 1, 3)),
        ("Bashir", Score(18, 1, 0, 3)),
    ]
    assert [one.score for one in table.rows[0].set_scores] == [
        *(Score(0, 1, 1, 1), Score(1, 1, 0, 1), Score(8, 0, 0, 1))
    ]


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        # Equal means of points: more solved comes first; then more at the best.
        (("U U' U U' U U' U U' D' R'", "D' R'"), ("U", "D' R'")),
        (("D' R'", "D D D R'"), ("D D2 R'", "D D2 R'")),
    ],
)
def test_means_are_ordered_by_the_same_three_keys(
    given, coach, member, second, better, worse
) -> None:
    sets = week(given, 2)
    for one, mine, theirs in zip(sets, better, worse, strict=True):
        fill(given, member, one, mine)
        fill(given, second, one, theirs)
    table = tables.all_time_table(coach, sets[-1].closes_at)
    assert [(row.rank, row.member) for row in table.rows] == [(1, "Ines"), (2, "Bashir")]
    assert table.rows[0].mean == table.rows[1].mean


def test_equal_results_share_a_rank(given, coach, member, second) -> None:
    a_set = given.a_set()
    for who in (member, second):
        fill(given, who, a_set, *BEST)
    table = tables.set_table(coach, a_set.pk, NOON)
    assert lines(table) == [(1, "Bashir", 0), (1, "Ines", 0)]


def test_a_missing_plan_counts_eight_only_once_the_set_has_closed(given, coach, member) -> None:
    a_set = given.a_set()
    fill(given, member, a_set, "D' R'")
    open_table = tables.set_table(coach, a_set.pk, NOON)
    assert [(one.member, one.score.points) for one in open_table.under_way] == [("Ines", 0)]
    assert open_table.so_far
    assert [cell.state for cell in open_table.under_way[0].cells] == ["solved"] + ["to_come"] * 4
    closed = tables.set_table(coach, a_set.pk, a_set.closes_at)
    assert lines(closed) == [(1, "Ines", 32)]
    assert not closed.so_far


def test_unsolved_no_plan_and_withdrawn_count_eight_at_once(given, coach, member) -> None:
    a_set = given.a_set()
    fill(given, member, a_set, "U", None)
    withdraw_plan(plan=given.a_plan(member, a_set, 3, "F' R'"), by=coach, reason="mix-up")
    row = tables.set_table(coach, a_set.pk, NOON).under_way[0]
    assert [cell.state for cell in row.cells[:3]] == ["not_solved", "no_plan", "withdrawn"]
    assert row.score.points == 24


def test_excess_on_one_cross_is_capped_at_eight(given, coach, member) -> None:
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "U U' " * 8 + "D' R'")
    row = tables.set_table(coach, a_set.pk, NOON).under_way[0]
    assert (row.cells[0].excess, row.cells[0].points) == (16, 8)
    assert row.score.solved == 1


def test_a_plan_still_being_checked_counts_nothing_yet(given, coach, member) -> None:
    a_set = given.a_set()
    given.a_plan(member, a_set, 1, "U", checked=False)
    table = tables.set_table(coach, a_set.pk, a_set.closes_at)
    assert (table.pending, table.so_far) == (1, True)
    assert table.rows[0].score.points == 32


def test_coaches_are_ranked_only_if_they_compete(given, club, coach, member) -> None:
    a_set = given.a_set()
    make_membership(club, "Rune", Role.COACH, competes=True)
    table = tables.set_table(coach, a_set.pk, a_set.closes_at)
    assert [row.member for row in table.rows] == ["Ines", "Rune"]


def test_a_child_without_consent_is_not_ranked_and_an_archived_member_only_where_in(
    given, club, coach, member, second
) -> None:
    make_membership(club, "Wee", standing=Standing.CONSENT, under_18=True)
    old = given.a_set(opens=NOON - timedelta(days=2), closes=NOON - timedelta(days=1))
    fill(given, second, old, "D' R'")
    today = given.a_set()
    archive_membership(by=coach, membership=second, now=today.opens_at + timedelta(hours=1))
    assert [r.member for r in tables.set_table(coach, old.pk, NOON).rows] == ["Bashir", "Ines"]
    so_far = tables.set_table(coach, today.pk, NOON)
    assert (so_far.rows, so_far.to_come) == ((), ("Ines",))


def test_nobody_is_ranked_by_what_has_not_come_in_yet(given, coach, member, second) -> None:
    today = given.a_set()
    given.a_plan(second, today, 1, "F")
    so_far = tables.set_table(coach, today.pk, NOON)
    assert ([row.member for row in so_far.under_way], so_far.rows) == (["Bashir"], ())
    assert so_far.to_come == ("Ines",)
    closed = tables.set_table(coach, today.pk, today.closes_at)
    assert [row.member for row in closed.rows] == ["Bashir", "Ines"]
    assert closed.to_come == ()


def week(given: Given, days: int = 7) -> list[ScrambleSet]:
    """Monday's to Sunday's sets, midnight to midnight in Oslo."""
    opens = NOON - timedelta(days=2, hours=13)
    return [
        given.a_set(
            opens=opens + timedelta(days=n),
            closes=opens + timedelta(days=n + 1),
            scrambles=("R D",),
            day=MONDAY + timedelta(days=n),
        )
        for n in range(days)
    ]


def test_a_week_runs_monday_to_sunday_by_closing_day(given, coach, member) -> None:
    sets = week(given, 8)
    after = sets[-1].closes_at
    table = tables.week_table(coach, WEDNESDAY, after)
    assert [head.closing_day for head in table.sets] == [
        MONDAY + timedelta(days=n) for n in range(7)
    ]
    assert lines(table) == [(1, "Ines", 56)]
    following = tables.week_table(coach, MONDAY + timedelta(days=7), after)
    assert [head.closing_day for head in following.sets] == [MONDAY + timedelta(days=7)]


def test_a_day_table_has_the_sets_that_close_on_that_day(given, coach, member) -> None:
    sets = week(given)
    table = tables.day_table(coach, MONDAY + timedelta(days=6), sets[-1].closes_at)
    assert [head.id for head in table.sets] == [sets[6].pk]
    assert tables.days_around(coach, WEDNESDAY, sets[-1].closes_at) == (
        date(2026, 11, 24),
        date(2026, 11, 26),
    )


def test_a_club_may_let_the_best_sets_count(given, club, coach, member) -> None:
    sets = week(given)
    for one in sets[:3]:
        fill(given, member, one, "D' R'")
    ScrambleSet.objects.filter(pk=sets[0].pk).update(best_sets_counted=4)
    # A later setting, and what a later set of the week has, change nothing.
    club.best_sets_counted = 1
    club.save()
    ScrambleSet.objects.filter(pk=sets[3].pk).update(best_sets_counted=2)
    table = tables.week_table(coach, MONDAY, sets[-1].closes_at)
    assert lines(table) == [(1, "Ines", 8)]
    assert (table.best_sets_counted, table.rows[0].sets) == (4, 4)


def test_who_joined_within_the_week_is_ranked_by_mean_in_a_list_apart(
    given, club, coach, member
) -> None:
    sets = week(given)
    late = make_membership(club, "Tuva", joined_at=sets[4].opens_at + timedelta(hours=1))
    fill(given, late, sets[5], "D' R'")
    fill(given, member, sets[5], "D' R'")
    table = tables.week_table(coach, MONDAY, sets[-1].closes_at)
    assert lines(table) == [(1, "Ines", 48)]
    (row,) = table.late
    # Friday's set opened before Tuva joined and none was handed in: it does not count.
    assert (row.member, row.sets, row.mean) == ("Tuva", 2, Fraction(4))
    assert [one.score is None for one in row.set_scores] == [True] * 5 + [False] * 2


def test_all_time_is_the_mean_over_closed_sets_since_joining(given, club, coach, member) -> None:
    sets = week(given)
    late = make_membership(club, "Tuva", joined_at=sets[5].opens_at)
    fill(given, late, sets[5], "D' R'")
    for one in sets[:3]:
        fill(given, member, one, "D' R'")
    while_sunday_is_open = sets[6].opens_at + timedelta(hours=1)
    table = tables.all_time_table(coach, while_sunday_is_open)
    assert [(r.rank, r.member, r.mean, r.sets) for r in table.rows] == [
        (1, "Tuva", Fraction(0), 1),
        (2, "Ines", Fraction(4), 6),
    ]


def test_sets_whose_table_is_sealed_to_the_viewer_are_named_and_not_counted(
    given, member, second
) -> None:
    sets = week(given, 3)
    fill(given, second, sets[2], "D D2 R'")
    table = tables.week_table(member, MONDAY, NOON)
    assert [head.id for head in table.sealed] == [sets[2].pk]
    assert all(row.score.points == 16 for row in table.rows)
    fill(given, member, sets[2], "D' R'")
    opened = tables.week_table(member, MONDAY, NOON)
    assert opened.sealed == ()
    assert lines(opened) == [(1, "Ines", 16), (2, "Bashir", 17)]


def test_picked_sets_never_stand_in_the_tables_of_a_day_or_week(given, coach, member) -> None:
    a_set = given.a_set(drawn="picked")
    fill(given, member, a_set, "D' R'")
    assert tables.day_table(coach, WEDNESDAY, NOON).sets == ()
    assert tables.set_table(coach, a_set.pk, NOON).under_way


@pytest.mark.parametrize("people", [1, 3])
def test_a_table_takes_a_constant_number_of_queries(
    given, club, coach, people, django_assert_num_queries
) -> None:
    a_set = given.a_set()
    for n in range(people):
        fill(given, make_membership(club, f"Member{n}"), a_set, "D' R'", "U")
    with django_assert_num_queries(6):
        tables.day_table(coach, WEDNESDAY, NOON)


@pytest.mark.parametrize("seed", range(6))
def test_all_time_from_kept_sums_is_all_time_from_the_plans(given, club, coach, seed) -> None:
    """Members who join late, plans that wait, are withdrawn or missing, sets for coaches alone."""
    source = random.Random(seed)
    sets = [
        given.a_set(
            opens=NOON - timedelta(days=9 - day, hours=13),
            closes=NOON - timedelta(days=8 - day, hours=13),
            scrambles=("R D", "R F"),
            **({"answers_to": Sight.COACHES, "table_to": Sight.COACHES} if day == 2 else {}),
        )
        for day in range(4)
    ]
    people = [
        make_membership(club, name, joined_at=NOON - timedelta(days=source.randint(4, 12)))
        for name in ("Ada", "Bo", "Cy")
    ]
    plans = [None, "", "D' R'", "D D2 R'", "U U' D' R'", "F' R'"]
    for who, a_set, number in product(people, sets, (1, 2)):
        written = source.choice(plans)
        if written is None:
            continue
        plan = given.a_plan(
            who, a_set, number, written, at=a_set.opens_at, checked=source.random() < 0.8
        )
        if source.random() < 0.2:
            withdraw_plan(plan=plan, by=coach, reason="mix-up")
    for viewer in (coach, people[0]):
        table = tables.all_time_table(viewer, NOON)
        found = ScrambleSet.objects.annotate(scramble_count=Count("scrambles")).order_by("opens_at")
        for one in found:
            one.club = club
        plain = tables._by_plans(viewer, list(found), NOON, None, None)
        assert [head.id for head in table.sets] == [one.row.pk for one in plain.counted]
        inside = [line for line in plain.lines if line.begun and not line.outside]
        expected = tables.ranked(inside, viewer, True)
        outside = [line for line in plain.lines if line.outside]
        assert [(one.member, one.score, one.set_scores) for one in table.outside] == [
            (one.person.display_name, one.score, one.set_scores) for one in outside
        ]
        assert [(r.rank, r.member, r.score, r.mean, r.sets, r.set_scores) for r in table.rows] == [
            (r.rank, r.member, r.score, r.mean, r.sets, r.set_scores) for r in expected
        ]
        assert table.pending == sum(line.pending for line in plain.lines)
        assert table.handed_in == sum(
            line.person.pk in plain.handed_in for line in plain.lines if not line.outside
        )
