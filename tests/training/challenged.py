"""A challenge announced, drawn and played in a few lines."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from solverworker.cube.draw import Drawing
from tests.conftest import EASY, NOON, Given
from training.clock import Window
from training.models import Challenge, Club, Kind, Membership, Plan
from training.rules import SetRules, Sight
from training.selectors.challenge_results import newest_confirmation
from training.selectors.worth_a_word import suggestions
from training.services.challenges import announce, draw_announced, make_season
from training.services.confirming import confirm, settle
from training.services.corrections import withdraw_plan
from training.services.posting import post
from training.services.questions import answer, ask

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
        timing=club.timing,
        held=club.held,
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


def in_each_state(
    given: Given, coach: Membership, member: Membership, second: Membership
) -> dict[str, Challenge]:
    """A season in which a challenge stands in each state, with questions and a post."""
    club = given.club
    make_season(
        by=coach,
        name="AUTUMN",
        first_day=NOON.date() - 40 * DAY,
        last_day=NOON.date() + 40 * DAY,
        kinds=[Kind.CHALLENGE],
        best_sets_counted=3,
        now=NOON - 50 * DAY,
    )
    found = {
        "announced": a_challenge(club, by=coach, opens=NOON + DAY, closes=NOON + 2 * DAY),
        "open": a_challenge(club, opens=NOON - DAY, closes=NOON + DAY, name="SNOW"),
        "checking": a_challenge(club, opens=NOON - 2 * DAY, closes=NOON - HOUR),
        "questions": a_challenge(club, opens=NOON - 3 * DAY, closes=NOON - DAY),
        "confirmed": a_challenge(club, opens=NOON - 20 * DAY, closes=NOON - 19 * DAY),
        "posted": a_challenge(club, opens=NOON - 13 * DAY, closes=NOON - 12 * DAY),
    }
    for name in ("questions", "confirmed", "posted"):
        planned(given, found[name], member, ["D2 D R'", "R' D'"])
        planned(given, found[name], second, ["D' R'", None])
    planned(given, found["open"], second, ["D' R'"])
    of_set = found["checking"].scramble_set
    given.a_plan(member, of_set, 1, "D' R'", at=of_set.opens_at + HOUR, checked=False)
    post_it(found["posted"], coach)
    confirm(challenge=found["confirmed"], by=coach, now=NOON - 18 * DAY)
    late = Plan.objects.filter(
        membership=second, scramble__scramble_set=found["confirmed"].scramble_set
    )
    withdraw_plan(plan=late[0], by=coach, reason="MIX-UP", now=NOON - DAY)
    for who, number, answered in ((member, 1, True), (second, 1, False)):
        scramble = given.scramble(found["questions"].scramble_set, number)
        question = ask(by=who, scramble=scramble, words="WHY?", now=NOON - HOUR)
        if answered:
            answer(question=question, by=coach, words="SO.", now=NOON)
    return found


def post_it(challenge: Challenge, coach: Membership) -> None:
    """Posted with the first things that are worth a word."""
    settle(set_id=challenge.scramble_set_id, now=NOON)
    confirmation = newest_confirmation(challenge)
    assert confirmation is not None
    found = suggestions(coach, challenge, confirmation, NOON)
    post(challenge=challenge, by=coach, words=[one.key for one in found[:3]], now=NOON)
