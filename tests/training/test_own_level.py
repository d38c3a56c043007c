"""The own level: a day beside the own weeks before.

Checked against sums written out by hand, on made-up days. Common practice, no source.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from hypothesis import given as drawn
from hypothesis import strategies as st

from tests.conftest import NOON, Given
from training.models import Kind, Membership, ScrambleSet
from training.own_level import LEAST_DAYS, LEAST_PLANS, DaySum, level_before, of_day
from training.selectors.own_days import own_days
from training.services.corrections import void_scramble

TODAY = date(2026, 11, 25)
DAY = timedelta(days=1)

days_of_anybody = st.lists(
    st.tuples(st.integers(0, 80), st.integers(1, 6), st.integers(0, 6), st.integers(0, 8)),
    max_size=70,
    unique_by=lambda one: one[0],
)


@drawn(days_of_anybody, st.integers(1, 6))
def test_mean_and_best_are_those_of_the_weeks_before(
    made: list[tuple[int, int, int, int]], crosses: int
) -> None:
    days = [
        DaySum(TODAY - back * DAY, of, min(of, plans) or 1, points, 1, 0)
        for back, of, plans, points in made
    ]
    found = level_before(days, TODAY, crosses)
    inside = [one for one in days if 1 <= (TODAY - one.day).days <= 56]
    plans = sum(one.plans for one in inside)
    if plans < LEAST_PLANS:
        assert found.mean is None
    else:
        assert found.mean == Fraction(sum(one.points for one in inside), plans) * crosses
    alike = [one for one in inside if one.plans == one.crosses == crosses]
    if len(alike) < LEAST_DAYS:
        assert found.best is None
    else:
        assert found.best in alike
        assert found.best.points == min(one.points for one in alike)
        later = [one for one in alike if one.day > found.best.day]
        assert all(one.points > found.best.points for one in later)


def test_a_day_with_a_missing_plan_is_nobodys_best() -> None:
    """One plan of five that lost nothing is no better day than five that lost two together."""
    days = [DaySum(TODAY - n * DAY, 5, 5, 2 + n, 5, 0) for n in range(1, 7)]
    days.append(DaySum(TODAY - 8 * DAY, 5, 1, 0, 1, 1))
    best = level_before(days, TODAY, 5).best
    assert best is not None
    assert best.points == 3


class TestWhatIsFetched:
    def test_is_by_closing_day_and_counts_as_the_table(
        self, member: Membership, given: Given
    ) -> None:
        tuesday = past_set(given, 1)
        for number, moves in enumerate(("D' R'", "U D' U' R'", "L", None), start=1):
            given.a_plan(member, tuesday, number, moves, at=tuesday.opens_at + DAY / 2)
        (found,) = own_days(member, NOON, TODAY)
        assert found == DaySum(TODAY - DAY, 5, 4, 0 + 2 + 8 + 8, 2, 1)
        assert of_day([found], TODAY) is None

    def test_leaves_out_what_is_open_sealed_picked_or_a_challenge(
        self, member: Membership, second: Membership, given: Given
    ) -> None:
        for fields in (
            {"answers_to": "coaches", "table_to": "coaches"},
            {"kind": Kind.CLUB_NIGHT, "drawn": "picked"},
            {"kind": Kind.CHALLENGE},
        ):
            one = past_set(given, 1, **fields)
            given.a_plan(member, one, 1, "D' R'", at=one.opens_at + DAY / 2)
        given.a_plan(member, given.a_set(), 1, "D' R'")
        others = past_set(given, 2)
        given.a_plan(second, others, 1, "D' R'", at=others.opens_at + DAY / 2)
        assert own_days(member, NOON, TODAY) == ()

    def test_a_void_scramble_is_neither_planned_nor_missing(
        self, member: Membership, coach: Membership, given: Given
    ) -> None:
        one = past_set(given, 1)
        given.a_plan(member, one, 1, "D' R'", at=one.opens_at + DAY / 2)
        given.a_plan(member, one, 2, "L", at=one.opens_at + DAY / 2)
        void_scramble(scramble=given.scramble(one, 2), by=coach, reason="stuck")
        (found,) = own_days(member, NOON, TODAY)
        assert (found.crosses, found.plans, found.points) == (4, 1, 0)

    def test_takes_one_query(
        self, member: Membership, given: Given, django_assert_num_queries: object
    ) -> None:
        for back in range(1, 4):
            one = past_set(given, back)
            given.a_plan(member, one, 1, "D' R'", at=one.opens_at + DAY / 2)
        with django_assert_num_queries(1):  # type: ignore[operator]
            assert len(own_days(member, NOON, TODAY)) == 3


def past_set(given: Given, back: int, **fields: object) -> ScrambleSet:
    opens = NOON - timedelta(hours=13) - back * DAY
    Membership.objects.update(joined_at=NOON - 90 * DAY)
    return given.a_set(opens=opens, closes=opens + DAY, scrambles=("R D",) * 5, **fields)
