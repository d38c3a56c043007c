"""A competing coach and the sets of groups: sealed where they may be ranked, and nowhere else.

The product's own rule (no outside source): what cannot rank a coach is not sealed from them, and
what they could read never ranks them, however they are moved afterwards.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from tests.conftest import NOON, make_membership
from tests.grouping import group_named, put_in
from tests.web.conftest import ROOT, reader_for
from training import belonging, visibility
from training.models import GroupTime, Kind, Membership, Question, Role, ScrambleSet
from training.refusals import NoLongerPossible
from training.services.groups import move
from training.visibility import OwnPlans

pytestmark = pytest.mark.django_db

TODAY = NOON.date()
DAY = timedelta(days=1)
LONG_AGO = NOON - 60 * DAY
NONE_IN = OwnPlans(frozenset(), frozenset(range(1, 6)))


@pytest.fixture
def rune(club) -> Membership:
    """A coach who competes, in no group."""
    return make_membership(club, "Rune", Role.COACH, competes=True)


@pytest.fixture
def builders(club):
    return group_named(club, "Builders")


@pytest.fixture
def a_set(given, builders) -> ScrambleSet:
    made = given.a_set(kind=Kind.CLUB_NIGHT)
    made.groups.add(builders)
    return made


def sealed(who: Membership, a_set: ScrambleSet, now: datetime = NOON) -> bool:
    """By every path on which something is sealed, which must agree."""
    row = ScrambleSet.objects.get(pk=a_set.pk)
    paths = {
        visibility.in_sealed_mode(who, row, now),
        not visibility.sees_answers(who, row, 1, NONE_IN, now),
        not visibility.sees_table(who, row, NONE_IN, now),
        not visibility.sees_others_plans(who, row, NONE_IN, now),
        not visibility.questions(who, now).filter(scramble__scramble_set=row).exists(),
    }
    assert len(paths) == 1, paths
    return paths.pop()


@pytest.fixture
def asked(given, a_set, member, builders) -> Question:
    """A member of the group planned and asked."""
    put_in(builders, member, since=LONG_AGO)
    given.a_plan(member, a_set, 1, "D' R'")
    return Question.objects.create(
        membership=member, scramble=given.scramble(a_set, 1), words="Why?", asked_at=NOON
    )


@pytest.mark.usefixtures("asked")
class TestWhoIsSealed:
    def test_not_who_cannot_be_ranked_in_it(self, rune, a_set, club) -> None:
        assert not sealed(rune, a_set)
        put_in("Painters", rune, since=LONG_AGO)
        assert not sealed(rune, a_set)

    def test_who_belongs_all_the_while_until_it_closes(self, rune, a_set, builders) -> None:
        put_in(builders, rune, since=a_set.opens_at)
        assert sealed(rune, a_set)
        assert not sealed(rune, a_set, a_set.closes_at)

    @pytest.mark.parametrize(("late", "early"), [(True, False), (False, True)])
    def test_not_who_belongs_for_a_part_of_it(self, rune, a_set, builders, late, early) -> None:
        second = timedelta(seconds=1)
        begins = a_set.opens_at + second if late else LONG_AGO
        put_in(builders, rune, since=begins, until=a_set.due_at - second if early else None)
        assert not sealed(rune, a_set)

    def test_one_for_several_groups_is_sealed_for_any_of_them(self, rune, a_set) -> None:
        a_set.groups.add(put_in("Painters", rune, since=LONG_AGO))
        assert sealed(rune, a_set)

    def test_one_for_everybody_is_sealed_whatever_the_group(self, rune, a_set) -> None:
        a_set.groups.clear()
        assert sealed(rune, a_set)

    def test_who_plans_in_it_is_sealed_from_then_on(self, rune, a_set, given) -> None:
        given.a_plan(rune, a_set, 2, "U")
        assert sealed(rune, a_set)

    def test_who_stopped_competing_is_held_as_before(self, rune, a_set, builders) -> None:
        rune.competes, rune.stopped_competing_at = False, a_set.opens_at + timedelta(seconds=1)
        rune.save()
        assert not sealed(rune, a_set)
        put_in(builders, rune, since=LONG_AGO)
        assert sealed(rune, a_set)

    def test_pages_say_the_same(self, rune, a_set, builders, asked, clock) -> None:
        clock(NOON)
        plan = asked.scramble.plans.get()
        pages = (f"{ROOT}/coach/plans/{plan.pk}/", f"{ROOT}/sets/{a_set.pk}/table/")
        shown = reader_for(rune).get(pages[1])
        assert "Ines" in shown
        reader_for(rune).get(pages[0])
        put_in(builders, rune, since=LONG_AGO)
        assert "Not counted here yet" in reader_for(rune).get(pages[1])
        reader_for(rune).get(pages[0], status=404)


class TestMoves:
    """No move makes a set theirs whose answers they could read; others' moves are free."""

    def moved(self, coach: Membership, who: Membership, group, from_day=TODAY - DAY) -> None:
        move(by=coach, memberships=[who], group=group, from_day=from_day, now=NOON)

    def test_none_into_an_open_set(self, rune, coach, member, a_set, builders) -> None:
        with pytest.raises(NoLongerPossible, match="Rune coaches and competes"):
            self.moved(coach, rune, builders)
        assert not GroupTime.objects.filter(membership=rune).exists()
        self.moved(coach, member, builders)
        assert belonging.is_theirs(member.pk, a_set)

    def test_from_tomorrow_on_it_may_be(self, rune, coach, a_set, builders) -> None:
        self.moved(coach, rune, builders, TODAY + DAY)
        assert not belonging.is_theirs(rune.pk, a_set)

    def test_none_into_a_closed_one_that_they_planned(self, given, rune, coach, builders) -> None:
        old = given.a_set(kind=Kind.CLUB_NIGHT, opens=NOON - 3 * DAY, closes=NOON - 2 * DAY)
        old.groups.add(builders)
        self.moved(coach, rune, builders, TODAY - 5 * DAY)
        GroupTime.objects.filter(membership=rune).delete()
        given.a_plan(rune, old, 1, "D' R'", at=NOON - 2.5 * DAY)
        with pytest.raises(NoLongerPossible):
            self.moved(coach, rune, builders, TODAY - 5 * DAY)

    def test_one_to_whom_it_was_given_before_moves_freely(
        self, rune, coach, a_set, builders
    ) -> None:
        put_in(builders, rune, since=LONG_AGO)
        assert belonging.was_open_to_read(rune, GroupTime.objects.all(), NOON) is None
        self.moved(coach, rune, None)
        # Out of it they could read: there is no way back into this set.
        with pytest.raises(NoLongerPossible):
            self.moved(coach, rune, builders)

    def test_who_does_not_compete_is_ranked_nowhere_and_moves_freely(
        self, coach, a_set, builders
    ) -> None:
        self.moved(coach, coach, builders)
        assert belonging.is_theirs(coach.pk, a_set)
