"""Tables of groups against a plain recomputation, with times of belonging and of counting.

The rule is the product's own (no outside source); the recomputation here goes set by set and
member by member over the rows, and uses nothing of the selectors.
"""

from __future__ import annotations

import random
from collections import defaultdict
from datetime import datetime, timedelta

import pytest

from tests.conftest import NOON, make_membership
from tests.grouping import group_named
from training.models import CountingPeriod, GroupTime, Membership, Plan, Scramble, ScrambleSet
from training.selectors import tables
from training.selectors.accounts import accounts_of
from training.selectors.table_rows import Table
from training.selectors.tables import GroupAsked
from training.services import summaries

DAYS = 6
CAP = 8
WAYS = (("D' R'", 0), ("R' D' R' D' R", None), (None, None))
"""Plans for the scramble R D, with what they lose: none, not solved, none written."""
FIRST = datetime(2026, 11, 15, 23, 0, tzinfo=NOON.tzinfo)
"""The midnight in Oslo with which Monday 16 November begins."""


class Rows:
    """All rows as they stand, read once."""

    def __init__(self) -> None:
        self.periods = list(CountingPeriod.objects.all())
        self.times = list(GroupTime.objects.all())
        self.groups: dict[int, set[int]] = defaultdict(set)
        for one in ScrambleSet.objects.prefetch_related("groups"):
            self.groups[one.pk] = {each.pk for each in one.groups.all()}
        self.scrambles: dict[int, list[int]] = defaultdict(list)
        for scramble in Scramble.objects.all():
            self.scrambles[scramble.scramble_set_id].append(scramble.pk)
        self.plans = {
            (one.scramble_id, one.membership_id): one
            for one in Plan.objects.select_related("verdict")
        }


def plain_total(
    rows: Rows, who: Membership, sets: list[ScrambleSet], group: int | None
) -> tuple[int, int] | None:
    """Points, and over how many sets, of one member; None where no set counts."""
    periods = [one for one in rows.periods if one.membership_id == who.pk]
    times = [one for one in rows.times if one.membership_id == who.pk]
    points, counted = 0, 0
    for one in sets:
        counts = any(
            period.begins_at <= one.opens_at
            and (period.ends_at is None or one.opens_at < period.ends_at)
            and (period.left_at is None or one.closes_at <= period.left_at)
            for period in periods
        )
        theirs = {
            time.group_id
            for time in times
            if time.begins_at <= one.opens_at
            and (time.ends_at is None or one.closes_at <= time.ends_at)
        }
        if group is not None:
            counts = counts and group in theirs
        elif rows.groups[one.pk]:
            counts = counts and bool(theirs & rows.groups[one.pk])
        if not counts:
            continue
        counted += 1
        for scramble in rows.scrambles[one.pk]:
            plan = rows.plans.get((scramble, who.pk))
            solved = plan is not None and plan.verdict.solved
            points += min(plan.verdict.excess, CAP) if solved else CAP
    return (points, counted) if counted else None


def told(table: Table) -> dict[int, tuple[int, int]]:
    """The same as a table tells it, of those who are ranked."""
    return {
        one.membership_id: (
            sum(each.score.points for each in one.set_scores if each.score is not None),
            sum(each.score is not None for each in one.set_scores),
        )
        for one in (*table.rows, *table.late)
    }


def random_spans(chance: random.Random, kinds: list[int | None]) -> list[tuple]:
    """Neighbouring spans from some midnight on, each of one kind, the last maybe open."""
    at = FIRST + timedelta(days=chance.randint(-2, 2))
    spans = []
    for _ in range(chance.randint(1, 3)):
        end = at + timedelta(days=chance.randint(1, 4), hours=chance.choice((0, 0, 0, 7)))
        spans.append((chance.choice(kinds), at, end))
        at = end + timedelta(days=chance.choice((0, 0, 1)))
    if chance.random() < 0.6:
        kind, begins, _ = spans[-1]
        spans[-1] = (kind, begins, None)
    return spans


@pytest.mark.parametrize("seed", range(8))
def test_every_table_is_the_plain_sum(given, club, coach, seed) -> None:
    chance = random.Random(seed)
    groups = [group_named(club, name) for name in ("Builders", "Planners", "Nobody's")]
    people = [make_membership(club, f"Member {n}") for n in range(4)]
    CountingPeriod.objects.all().delete()
    for who in people:
        for kind, begins, ends in random_spans(chance, [groups[0].pk, groups[1].pk, None]):
            if kind is not None:
                GroupTime.objects.create(
                    membership=who, group_id=kind, begins_at=begins, ends_at=ends
                )
        for _, begins, ends in random_spans(chance, [None]):
            left = ends if ends is not None and chance.random() < 0.5 else None
            CountingPeriod.objects.create(
                membership=who, begins_at=begins, ends_at=ends, left_at=left
            )
    sets = []
    for day in range(DAYS):
        opens = FIRST + timedelta(days=day)
        for kind in ("daily", "club_night"):
            made = given.a_set(
                kind=kind,
                opens=opens,
                closes=opens + timedelta(days=chance.choice((1, 1, 2))),
                scrambles=("R D", "R D"),
            )
            sets.append(made)
    for made in sets:
        for who in people:
            for number in (1, 2):
                if chance.random() < 0.6:
                    written, _ = chance.choice(WAYS)
                    given.a_plan(who, made, number, written, at=made.opens_at)
    # Whoever planned and was moved since: the sets become a group's when the plans are in.
    for made in sets[1::2]:
        made.groups.set(chance.sample(groups[:2], chance.randint(0, 2)))
    for who in people:
        summaries.count_anew(membership=who)
    now = FIRST + timedelta(days=DAYS + 3)
    rows = Rows()
    shared = [one for one in sets if not rows.groups[one.pk]]
    by_group = defaultdict(list)
    for one in sets:
        for pk in rows.groups[one.pk]:
            by_group[pk].append(one)
    asked: list[tuple[GroupAsked | None, list[ScrambleSet]]] = [(None, shared)]
    for group in groups:
        asked += [(GroupAsked(group), shared), (GroupAsked(group, True), by_group[group.pk])]
    for of, these in asked:
        due = {
            who.pk: total
            for who in people
            if (total := plain_total(rows, who, these, of.group.pk if of else None)) is not None
        }
        assert told(tables.all_time_table(coach, now, of=of)) == due
        in_week = [one for one in these if one.closes_at <= FIRST + timedelta(days=7)]
        week = {
            who.pk: total
            for who in people
            if (total := plain_total(rows, who, in_week, of.group.pk if of else None)) is not None
        }
        assert told(tables.week_table(coach, FIRST.date() + timedelta(days=1), now, of=of)) == week
    for made in sets:
        due = {
            who.pk: total
            for who in people
            if (total := plain_total(rows, who, [made], None)) is not None
        }
        assert told(tables.set_table(coach, made.pk, now)) == due
    accounts = accounts_of(people, sets)
    for who in people:
        total = plain_total(rows, who, sets, None)
        assert accounts[who.pk].total == (total[0] if total else 0)
    assert summaries.differences() == []


def test_a_group_of_nobody_and_a_group_of_one(given, club, coach, member) -> None:
    empty, alone = group_named(club, "Empty"), group_named(club, "Alone")
    GroupTime.objects.create(membership=member, group=alone, begins_at=member.joined_at)
    a_set = given.a_set(opens=FIRST, closes=FIRST + timedelta(days=1))
    given.a_plan(member, a_set, 1, "D' R'", at=FIRST)
    table = tables.all_time_table(coach, NOON, of=GroupAsked(empty))
    assert (table.rows, table.outside, table.to_come) == ((), (), ())
    table = tables.all_time_table(coach, NOON, of=GroupAsked(alone))
    assert [(one.rank, one.membership_id) for one in table.rows] == [(1, member.pk)]
    own = tables.all_time_table(coach, NOON, of=GroupAsked(alone, own_sets=True))
    assert (own.sets, own.rows) == ((), ())


def test_a_member_of_two_clubs_belongs_in_each_for_itself(
    given, club, other_club, coach, member
) -> None:
    there = Membership.objects.create(
        club=other_club, person=member.person, display_name="Ines", joined_at=member.joined_at
    )
    here = group_named(club, "Builders")
    GroupTime.objects.create(membership=member, group=here, begins_at=member.joined_at)
    far = group_named(other_club, "Builders")
    a_set = given.a_set(opens=FIRST, closes=FIRST + timedelta(days=1), club=other_club)
    a_set.groups.add(far)
    assert a_set not in list(_seen(there))
    GroupTime.objects.create(membership=there, group=far, begins_at=there.joined_at)
    assert a_set in list(_seen(there))
    assert a_set not in list(_seen(member))


def _seen(who: Membership):
    from training import visibility

    return visibility.visible_sets(who, NOON)


def test_the_queries_of_a_group_s_table_do_not_grow(
    given, club, coach, django_assert_num_queries
) -> None:
    group = group_named(club, "Builders")
    for size in (1, 4):
        for n in range(size):
            who = make_membership(club, f"Member {size} {n}")
            GroupTime.objects.create(membership=who, group=group, begins_at=who.joined_at)
            opens = FIRST + timedelta(days=size + n)
            made = given.a_set(kind="club_night", opens=opens, closes=opens + timedelta(days=1))
            made.groups.add(group)
        with django_assert_num_queries(7):
            tables.all_time_table(coach, NOON, of=GroupAsked(group, own_sets=True))
