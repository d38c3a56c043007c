"""A challenge announced, drawn and played in a few lines."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from solverworker.cube.draw import Drawing
from tests.conftest import EASY, NOON, Given
from training.clock import Window
from training.models import Challenge, Club, Membership
from training.rules import SetRules, Sight
from training.services.challenges import announce, draw_announced

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


def easy(count: int) -> Drawing:
    """The crosses of the tests in place of a draw."""
    return Drawing("thirty_turns", "seed", tuple((EASY * 3)[:count]))


def rules_of(club: Club) -> SetRules:
    return SetRules(
        colours=tuple(club.colours),
        spelling=club.spelling,
        answers_to=Sight.OWN_PLAN.value,
        table_to=Sight.CLOSING.value,
        best_sets_counted=None,
    )


def a_challenge(
    club: Club,
    *,
    by: Membership | None = None,
    opens: datetime = NOON - 3 * DAY,
    closes: datetime = NOON - DAY,
    scrambles: int = 2,
    **more: object,
) -> Challenge:
    """Announced a day before it opens, and drawn."""
    announced = opens - DAY
    made = announce(
        club=club,
        rules=rules_of(club),
        window=Window(opens, closes),
        scrambles=scrambles,
        by=by,
        now=announced,
        **more,  # type: ignore[arg-type]
    )
    assert draw_announced(drawer=easy, now=announced) == 1
    made.scramble_set.refresh_from_db()
    return made


def planned(
    given: Given, challenge: Challenge, who: Membership, plans: Sequence[str | None]
) -> None:
    """Plans handed in an hour after it opens, and checked then."""
    of_set = challenge.scramble_set
    at = of_set.opens_at + HOUR
    for number, moves in enumerate(plans, start=1):
        plan = given.a_plan(who, of_set, number, moves, at=at)
        type(plan.verdict).objects.filter(plan=plan).update(checked_at=at + HOUR / 60)
