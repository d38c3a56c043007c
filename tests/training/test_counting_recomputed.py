"""Tables with counting periods against a plain recomputation, over random lives of members.

The rule is product's own: a set counts for whoever is in from its opening to its closing.
"""

from __future__ import annotations

import random
from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

import pytest

from tests.conftest import make_membership
from tests.training.test_counting import AFTER, DAY, HOUR, LOSES_ONE, MONDAY, SOLVED, sets, week
from training import clock
from training.models import CountingPeriod, Membership, Role, ScrambleSet, SetSummary
from training.selectors import tables
from training.selectors.counting import Insides
from training.services import accounts, counting, summaries

pytestmark = pytest.mark.django_db
__all__ = ["sets"]


class Life(NamedTuple):
    """What happened to a member, as instants and states: the plain twin of the periods."""

    who: Membership
    changes: list[tuple[datetime, bool, bool]]
    """(instant, account open, competes), the state from then on."""

    def counts(self, one: ScrambleSet) -> bool:
        """Open from the opening to the closing of a set without a break, competing at the start."""
        at_opening = [change for change in self.changes if change[0] <= one.opens_at]
        if not at_opening or not (at_opening[-1][1] and at_opening[-1][2]):
            return False
        meanwhile = [c for c in self.changes if one.opens_at < c[0] < one.closes_at]
        return all(is_open for _, is_open, _ in meanwhile)


def live(source: random.Random, who: Membership, owner: Membership) -> Life:
    """Archive, reopen, stop and begin to compete, at instants that often are a set's own."""
    now = MONDAY - 3 * DAY
    CountingPeriod.objects.filter(membership=who).update(begins_at=now)
    is_open, competes = True, True
    life = Life(who, [(now, True, True)])
    for _ in range(source.randint(0, 6)):
        now += source.choice([HOUR, 5 * HOUR, 12 * HOUR, DAY, 2 * DAY])
        if source.random() < 0.5:
            act = accounts.archive_membership if is_open else accounts.reopen_membership
            act(by=owner, membership=who, now=now)
            is_open = not is_open
        elif is_open:
            competes = not competes
            counting.choose_competing(by=owner, membership=who, competes=competes, now=now)
        life.changes.append((now, is_open, competes))
    return life


@pytest.mark.parametrize("seed", range(8))
def test_tables_are_a_plain_recomputation_with_periods(given, club, owner, sets, seed) -> None:
    source = random.Random(seed)
    names = ("Ada", "Bo", "Cy", "Di")
    lives = []
    marks: dict[tuple[str, int], int] = {}
    for name in names:
        who = make_membership(club, name, Role.COACH, competes=True)
        for one in sets:
            if source.random() < 0.6:
                written = source.choice([SOLVED, LOSES_ONE, "U"])
                given.a_plan(who, one, 1, written, at=one.opens_at)
                marks[name, one.pk] = {SOLVED: 0, LOSES_ONE: 1, "U": 8}[written]
        lives.append(live(source, who, owner))
    best = source.choice([None, 2, 3])
    ScrambleSet.objects.update(best_sets_counted=best)
    table, all_time = week(owner), tables.all_time_table(owner, AFTER)
    rows = {one.member: one for one in table.rows}
    late = {one.member: one for one in table.late}
    outside = {one.member for one in table.outside}
    means = {one.member: one for one in all_time.rows}
    for life in lives:
        name = life.who.display_name
        inside = [one for one in sets if life.counts(one)]
        points = [marks.get((name, one.pk), 8) for one in inside]
        planned = {one.pk for one in sets if (name, one.pk) in marks}
        if len(inside) == 7:
            assert rows.pop(name).score.points == sum(sorted(points)[:best])
        elif inside:
            assert late.pop(name).mean == Fraction(sum(points), len(points))
        elif planned:
            outside.remove(name)
        if inside:
            mean = means.pop(name)
            assert (mean.mean, mean.sets) == (Fraction(sum(points), len(points)), len(points))
        # The quick way over many sets agrees, and so does what is kept with the summaries.
        assert Insides(sets).of(life.who.counting_periods.all()) == {one.pk for one in inside}
        kept = SetSummary.objects.filter(membership=life.who, counts=True)
        assert set(kept.values_list("scramble_set", flat=True)) == planned & {
            one.pk for one in inside
        }
        for day in sets:
            of_day = tables.day_table(owner, clock.closing_day(day.closes_at, club.zone), AFTER)
            ranked = {one.member: one.score.points for one in of_day.rows}
            expected = marks.get((name, day.pk), 8) if day in inside else None
            assert ranked.get(name) == expected
    assert (rows, late, outside, means) == ({}, {}, set(), {})
    assert summaries.differences() == []
