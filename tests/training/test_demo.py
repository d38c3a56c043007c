"""The demo club: true to its members' habits, the same on every machine, brought up to today."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db.models import Avg
from pytest_django import DjangoDbBlocker

from solverworker.cube.cross import SOLVED, after, unrank
from solverworker.review import plan_outlook
from solverworker.search.cross import distance, shortest_solutions
from solverworker.techniques import used
from tests.conftest import NOON
from tests.kept import kept_to_the_end
from training import visibility
from training.management.demo import build, cast, habits
from training.management.demo.timed_night import hold_timed_night
from training.models import (
    Club,
    Deed,
    Kind,
    Membership,
    Plan,
    ScrambleSet,
    SecondLook,
    Standing,
    Verdict,
)
from training.rules import Timing
from training.selectors.accounts import accounts_of
from training.selectors.tables import all_time_table
from training.services import summaries

SOME = [unrank(n) for n in random.Random(11).sample(range(190_080), 40)]


@pytest.mark.parametrize("technique", ["relative_build", "base_turn", "shared_turn"])
def test_a_planner_without_an_idea_never_uses_it_and_loses_by_nothing_else(technique) -> None:
    plan = habits.without(technique)
    for state in SOME:
        turns = plan(state, random.Random(1))
        assert turns is not None
        assert after(turns, state) == SOLVED
        assert technique not in used(state, turns)
        needless = any(technique not in used(state, one) for one in shortest_solutions(state))
        assert (len(turns) == distance(state)) == needless


def test_a_beginner_brings_every_edge_home_and_seldom_in_the_fewest_moves() -> None:
    over = 0
    for state in SOME:
        turns = habits.edge_by_edge(state, random.Random(1))
        assert after(turns, state) == SOLVED
        over += len(turns) - distance(state)
    assert over > len(SOME)


def test_slips_cost_moves_or_the_cross_and_fall_in_one_plan_of_some() -> None:
    plan = habits.with_slips(habits.shortest, one_in=4)
    slipped = 0
    for number, state in enumerate(SOME * 5):
        turns = plan(state, random.Random(number))
        assert turns is not None
        if after(turns, state) != SOLVED or len(turns) > distance(state):
            slipped += 1
    # Of 200 plans 50 slip on average; four standard deviations of the binomial either way.
    assert 26 <= slipped <= 74


@pytest.fixture(scope="module")
def made(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """The club of one week, which takes seconds to make."""
    with kept_to_the_end(django_db_blocker):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(build, "WEEKS", 1)
            build.build(now=NOON)
        with django_db_blocker.block():
            yield


@pytest.fixture
def demo(made: None, db: None, monkeypatch: pytest.MonkeyPatch) -> Club:
    monkeypatch.setattr(build, "WEEKS", 1)
    return Club.objects.get()


def test_by_default_a_season_of_nine_weeks_is_there() -> None:
    # Eight full weeks before this one: so many, and the four after, a look at who improved needs.
    assert build.WEEKS + 1 == 9


def test_the_club_has_a_coach_three_levels_a_dozen_members_and_true_results(demo) -> None:
    members = Membership.objects.filter(club=demo, role="member", standing=Standing.ACTIVE)
    assert members.count() == len(cast.MEMBERS) >= 12
    assert Membership.objects.filter(club=demo, role="owner").count() == 1
    assert demo.groups.count() == 3
    assert all(m.group_times.count() >= 1 for m in members)
    assert all(m.consent_noted_at for m in members if m.under_18)

    # Monday of the week before to Wednesday: ten sets; the past is checked, today waits.
    sets = ScrambleSet.objects.filter(club=demo, for_member=None, kind=Kind.DAILY)
    assert sets.count() == 10
    today = sets.order_by("-day")[0]
    past = Plan.objects.exclude(scramble__scramble_set=today)
    assert past.count() > 300
    assert set(past.values_list("status", flat=True)) == {"checked", "withdrawn"}
    kept = demo.corrections.values_list("kind", "in_force").order_by("pk")
    assert list(kept) == [
        ("scramble_void", True),
        ("plan_withdrawn", False),
        ("plan_withdrawn", True),
        ("plan_withdrawn", True),
    ]
    live = Plan.objects.filter(scramble__scramble_set=today)
    assert {plan.status for plan in live} == {"waiting"}
    assert all(plan.handed_in_at <= NOON for plan in live)

    def mean(name: str) -> float:
        solved = Verdict.objects.filter(plan__membership__display_name=name, solved=True)
        return float(solved.aggregate(mean=Avg("excess"))["mean"])

    assert mean("Noor") < mean("Ines") < mean("Amaro")


def test_made_twice_it_is_the_same_and_a_day_later_it_has_a_day_more(demo) -> None:
    before = list(Plan.objects.order_by("pk").values_list("key", "canonical"))
    build.build(now=NOON)
    assert list(Plan.objects.order_by("pk").values_list("key", "canonical")) == before
    build.build(now=NOON + timedelta(days=1))
    assert ScrambleSet.objects.count() == ScrambleSet.objects.filter(day__lte=NOON).count() + 1
    assert Plan.objects.count() > len(before)


def test_an_evening_by_the_clock_has_late_plans_and_one_excused(demo) -> None:
    """Late from 17 seconds on: WCA A4d."""
    for _twice in range(2):
        hold_timed_night(now=NOON)
    night = ScrambleSet.objects.get(timing=Timing.TIMED)
    late = Plan.objects.filter(scramble__scramble_set=night, out_of_time=True)
    entry = demo.corrections.get(kind="time_excused")
    assert entry.in_force
    # What is excused solves, so that it counts again for what it is worth.
    assert entry.plan.verdict.solved
    said = {(one.membership.display_name, one.scramble.number) for one in (*late, entry.plan)}
    assert said == {("Ines", 2), ("Noor", 3), ("Sunniva", 3)}
    assert late.count() == 2
    assert Plan.objects.filter(scramble__scramble_set=night).count() == 9
    assert summaries.differences() == []


def test_every_account_signs_in_with_the_printed_phrase(demo, client) -> None:
    for one in build.accounts():
        membership = Membership.objects.get(person__sign_in_name=one.sign_in_name)
        assert membership.person.check_password(build.PHRASE)


def test_outside_the_demo_the_command_refuses(db, settings) -> None:
    settings.DEMO = False
    # Of another test of this file there may be a club already.
    before = Plan.objects.count(), Deed.objects.count()
    with pytest.raises(CommandError, match="no demo"):
        call_command("demoseed")
    assert (Plan.objects.count(), Deed.objects.count()) == before


def test_no_name_of_the_demo_is_in_the_product_itself() -> None:
    package = Path(build.__file__).parents[2]
    for file in package.rglob("*.py"):
        if "demo" not in file.parts and "commands" not in file.parts:
            assert cast.CLUB not in file.read_text(encoding="utf-8")


def test_its_log_tells_of_what_was_done_through_the_services(demo) -> None:
    told = set(demo.deeds.values_list("what", flat=True))
    assert told == {"role", "consent_noted", "card", "exported", "group"}
    assert set(demo.deeds.values_list("by__display_name", flat=True)) == {"Mara", "Iver"}


def test_some_looked_a_second_time_and_found_it(demo) -> None:
    found = list(SecondLook.objects.select_related("membership"))
    assert {one.membership.display_name for one in found} == {"Noor", "Bashir"}
    assert {one.hints for one in found} >= {0, 1}
    assert all(one.moves for one in found)


def test_accounts_add_up_to_the_table_of_all_time(demo) -> None:
    """Each point that the table charged stands in one heading, and none besides."""
    viewer = Membership.objects.select_related("club").get(club=demo, role="owner")
    competing = list(visibility.reviewed_members(viewer).select_related("club"))
    sets = visibility.reviewed_sets(viewer, NOON - timedelta(days=400), NOON)
    found = accounts_of(competing, sets)
    table = all_time_table(viewer, NOON)
    charged = {
        row.membership_id: (row.score.points, row.score.crosses, row.score.solved)
        for row in table.rows
    }
    assert len(charged) >= 12
    assert {
        member: (one.total, one.plans, one.solved) for member, one in found.items() if one.plans
    } == charged
    assert {code for one in found.values() for code in one.points} >= {
        *("unsolved", "no_plan", "not_handed_in", "relative_build", "undone_moves")
    }


def test_one_member_sees_the_first_pair_too_and_gets_most_of_them_in(demo) -> None:
    written = Plan.objects.filter(membership__club=demo).exclude(pair_canonical="")
    assert {one.membership.display_name for one in written} == {"Noor"}
    found = [
        plan_outlook(
            one.scramble.text, one.canonical, colours=["white"], pair_ahead=one.pair_canonical
        ).pair_ahead
        for one in written.select_related("scramble")
    ]
    solved = sum(one.solved for one in found)
    assert 0 < solved < len(found)
    assert solved > len(found) / 2
