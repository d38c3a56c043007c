"""Sets issue themselves, each club in its own zone, also after the machine was off."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from solverworker.cube import notation
from solverworker.search.scramble import draw_scrambles
from solverworker.tasks import DRAWERS
from tests.conftest import NOON
from training.models import Club, DayOff, Plan, PlanStatus, Scramble, ScrambleSet
from training.services import periodic
from training.services.issuing import issue_due, issue_of_series
from training.services.sets import finish_closed

pytestmark = pytest.mark.django_db

TODAY = date(2026, 11, 25)


def test_today_and_tomorrow_are_issued_once_however_often_the_clock_ticks(club) -> None:
    for _ in range(3):
        issue_due(drawer=DRAWERS.daily, now=NOON)
    sets = ScrambleSet.objects.filter(club=club)
    assert [one.day for one in sets] == [TODAY, TODAY + timedelta(days=1)]
    assert sets[0].opens_at == datetime(2026, 11, 24, 23, 0, tzinfo=UTC)
    assert sets[0].closes_at == datetime(2026, 11, 25, 23, 0, tzinfo=UTC)
    assert Scramble.objects.count() == 2 * club.first_series.scrambles


def test_each_club_has_its_own_today(club, other_club) -> None:
    # At 16:00 UTC it is Thursday in Tokyo already.
    issue_due(drawer=DRAWERS.daily, now=NOON + timedelta(hours=4))
    days = {one.slug: [s.day for s in one.sets.all()] for one in Club.objects.all()}
    assert days["lantern-street"] == [TODAY, TODAY + timedelta(days=1)]
    assert days["far-shore"] == [TODAY + timedelta(days=1), TODAY + timedelta(days=2)]


def test_after_a_week_off_only_what_can_still_be_planned_is_issued(club) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    issue_due(drawer=DRAWERS.daily, now=NOON + timedelta(days=7))
    days = list(ScrambleSet.objects.values_list("day", flat=True))
    assert days == [date(2026, 11, n) for n in (25, 26)] + [date(2026, 12, n) for n in (2, 3)]


def test_weekdays_and_days_off_are_kept(club) -> None:
    club.series.update(weekdays=[2, 4])
    DayOff.objects.create(club=club, day=date(2026, 11, 27))
    for day in range(14):
        issue_due(drawer=DRAWERS.daily, now=NOON + timedelta(days=day))
    days = list(ScrambleSet.objects.values_list("day", flat=True))
    assert days == [date(2026, 11, 25), date(2026, 12, 2), date(2026, 12, 4), date(2026, 12, 9)]


def test_a_set_that_closes_after_midnight_is_still_issued_while_it_is_open(club) -> None:
    club.series.update(opens=time(18, 0), closes=time(2, 0))
    issue_due(drawer=DRAWERS.daily, now=datetime(2026, 11, 26, 0, 30, tzinfo=UTC))
    assert TODAY in ScrambleSet.objects.values_list("day", flat=True)


def test_scrambles_are_drawn_by_state_and_the_seed_is_stored(club) -> None:
    issued = issue_of_series(series=club.first_series, day=TODAY, drawer=DRAWERS.daily, now=NOON)
    assert issued is not None
    assert (issued.drawn, issued.draw_method) == ("as_drawn", "random_state")
    texts = [scramble.text for scramble in issued.scrambles.all()]
    assert len(set(texts)) == len(texts) == club.first_series.scrambles
    for text in texts:
        tokens = notation.parse(text, strict=True)
        assert 2 <= notation.count_moves(tokens) == len(tokens) <= 22
    assert list(draw_scrambles(len(texts), issued.seed).texts) == texts


def test_no_two_sets_have_a_seed_in_common(club) -> None:
    issue_due(drawer=DRAWERS.daily, now=NOON)
    seeds = list(ScrambleSet.objects.values_list("seed", flat=True))
    assert len(set(seeds)) == len(seeds) == 2
    assert all(len(seed) == 32 for seed in seeds)


def test_a_set_keeps_the_rules_of_the_day_it_was_issued(club) -> None:
    issued = issue_of_series(series=club.first_series, day=TODAY, drawer=DRAWERS.daily, now=NOON)
    Club.objects.update(colours=["red"], answers_to="closing")
    assert issued is not None
    issued.refresh_from_db()
    assert (issued.colours, issued.answers_to) == (["yellow"], "own_plan")


def test_one_clubs_trouble_does_not_keep_another_from_its_set(club, other_club, caplog) -> None:
    Club.objects.filter(pk=club.pk).update(time_zone="Nowhere/AtAll")
    issue_due(drawer=DRAWERS.daily, now=NOON)
    assert ScrambleSet.objects.filter(club=other_club).count() == 2
    assert "No set could be issued for club" in caplog.text


def test_a_closed_set_is_finished_once_no_plan_of_it_waits(given, member) -> None:
    a_set = given.a_set()
    plan = given.a_plan(member, a_set, 1, "R", checked=False)
    assert finish_closed(now=a_set.closes_at - timedelta(seconds=1)) == 0
    assert finish_closed(now=a_set.closes_at) == 0
    Plan.objects.filter(pk=plan.pk).update(status=PlanStatus.FAILED, failure_reason="stopped")
    assert finish_closed(now=a_set.closes_at) == 0
    Plan.objects.filter(pk=plan.pk).update(status=PlanStatus.WITHDRAWN, failure_reason="")
    assert finish_closed(now=a_set.closes_at) == 1
    a_set.refresh_from_db()
    assert a_set.finished_at == a_set.closes_at
    assert finish_closed(now=a_set.closes_at + timedelta(days=1)) == 0


def test_a_tick_does_all_of_it_and_leaves_a_sign_of_life(given, club) -> None:
    old = given.a_set(opens=NOON - timedelta(days=3), closes=NOON - timedelta(days=2))
    periodic.tick(drawers=DRAWERS, now=NOON)
    old.refresh_from_db()
    assert old.finished_at == NOON
    assert ScrambleSet.objects.filter(club=club, day=TODAY).exists()
