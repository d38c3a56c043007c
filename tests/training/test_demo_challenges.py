"""The demo's season: a challenge in each state, made by the services, true to its numbers."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest

from tests.conftest import NOON
from training.management.demo import build, challenges
from training.models import Club, Membership, Question
from training.selectors.challenge_views import challenge_view
from training.selectors.challenges import challenges_of
from training.selectors.seasons import season_for, season_table, seasons_of
from training.services.verifying import _differences


@pytest.mark.django_db
# Before and after the evening at which challenges of the demo close, in Oslo.
@pytest.mark.parametrize("hours", [0, 6.9, 7.1, 10.9, 11.1])
def test_there_is_one_in_each_state(clock: Callable[[datetime], None], hours: float) -> None:
    now = NOON + timedelta(hours=hours)
    clock(now)
    build._make_club(now)
    challenges.add_challenges(now=now)
    challenges.add_challenges(now=now)
    club = Club.objects.get()
    coach = Membership.objects.get(club=club, display_name="Iver")
    heads = challenges_of(coach, now)
    assert [one.stage for one in heads] == [
        *("announced", "open", "checking", "questions", "confirmed", "posted")
    ]
    assert Question.objects.waiting().count() == 1
    views = {one.stage: challenge_view(coach, one.id, now) for one in heads}
    assert views["posted"].words
    corrected = views["confirmed"].result
    assert corrected is not None
    assert corrected.by_itself
    assert corrected.differs
    (season,) = seasons_of(coach, now)
    table = season_table(coach, season_for(coach, season.id), now)
    assert (table.sets, table.confirmed_sets) == (4, 2)
    assert table.rows
    assert all(_differences(one.set_id) == [] for one in heads)
