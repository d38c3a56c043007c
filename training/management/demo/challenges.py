"""A season of weekly challenges for the demo club: one in each state, made by the services."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from django.db import transaction

from solverworker.search.scramble import draw_scrambles
from training import clock
from training.clock import Window
from training.management.demo import cast
from training.management.demo.build import entries_of, hand_in_live, record
from training.models import Challenge, Club, Corrected, Kind, Membership, Plan, Season
from training.rules import Sight
from training.selectors.challenge_results import newest_confirmation
from training.selectors.worth_a_word import suggestions
from training.services.challenges import announce, draw_announced, make_season
from training.services.confirming import confirm, settle, settle_due
from training.services.corrections import withdraw_plan
from training.services.particulars import choose_named_outside
from training.services.posting import post
from training.services.questions import answer, ask
from training.services.verdicts import fail

CROSSES = 5
EVENING = time(20, 0)


@dataclass(frozen=True, slots=True)
class _Club:
    """The club with who does something around its challenges."""

    club: Club
    coach: Membership
    members: dict[str, Membership]
    begins: date
    now: datetime


@transaction.atomic
def add_challenges(*, now: datetime) -> None:
    """Add the season to the demo club, unless it is there."""
    club = Club.objects.get(name=cast.CLUB)
    if Season.objects.filter(club=club).exists():
        return
    people = Membership.objects.filter(club=club).select_related("person")
    members = {one.display_name: one for one in people}
    coach = members[cast.SECOND_COACH[0]]
    begins = clock.local_date(coach.joined_at, club.zone)
    there = _Club(club, coach, members, begins, now)
    make_season(
        by=coach,
        name=cast.SEASON,
        first_day=begins,
        last_day=begins + timedelta(weeks=9),
        kinds=[Kind.CHALLENGE],
        best_sets_counted=6,
        now=coach.joined_at,
    )
    _posted(there, _closed(there, days_ago=20))
    _corrected_since(there, _closed(there, days_ago=13))
    _asked_about(there, _closed(there, days_ago=1))
    _being_checked(_closed(there, days_ago=0, waits=1))
    _open(there)
    _announce(there, opens_in=3, closes_in=5)


def _announce(there: _Club, *, opens_in: int, closes_in: int) -> Challenge:
    """So many days from today on, the evening of one day to that of another."""
    zone = there.club.zone
    today = clock.local_date(there.now, zone)
    opens = clock.local_to_utc(today + timedelta(days=opens_in), EVENING, zone)
    closes = clock.local_to_utc(today + timedelta(days=closes_in), EVENING, zone, "closing")
    announced = min(opens - timedelta(days=2), there.now)
    rules = replace(there.club.rules, answers_to=Sight.CLOSING, table_to=Sight.CLOSING)
    made = announce(
        club=there.club,
        rules=rules,
        window=Window(opens, closes),
        scrambles=CROSSES,
        by=there.coach,
        now=announced,
    )
    # Two may open on one evening: what tells them apart is when they close, too.
    seed = f"demo/challenge/{opens.date().isoformat()}/{closes.date().isoformat()}"
    draw_announced(drawer=lambda count: draw_scrambles(count, seed), now=announced)
    made.scramble_set.refresh_from_db()
    made.scramble_set.club = there.club
    return made


def _closed(there: _Club, *, days_ago: int, waits: int = 0) -> Challenge:
    """One that closed so many evenings ago, with plans; ``waits``: so many without a verdict."""
    before = clock.local_date(there.now, there.club.zone)
    # Before this evening the last one that closed did so yesterday.
    evening = clock.local_to_utc(before, EVENING, there.club.zone)
    days = days_ago + (1 if there.now < evening else 0)
    made = _announce(there, opens_in=-days - 2, closes_in=-days)
    day = made.scramble_set.day
    week = (day - there.begins).days // 7
    entries = list(entries_of(made.scramble_set, day, week, there.members, there.now))
    for entry in entries[:waits]:
        hand_in_live(entry, made.scramble_set)
    record(entries[waits:])
    return made


def _posted(there: _Club, challenge: Challenge) -> None:
    """Confirmed by the coach, posted with what was worth a word; one member named outside."""
    at = challenge.scramble_set.closes_at + timedelta(hours=20)
    choose_named_outside(membership=there.members[cast.NAMED_OUTSIDE], named=True, now=at)
    confirm(challenge=challenge, by=there.coach, now=at)
    confirmation = newest_confirmation(challenge)
    assert confirmation is not None
    found = suggestions(there.coach, challenge, confirmation, at)
    post(challenge=challenge, by=there.coach, words=[one.key for one in found[:3]], now=at)


def _corrected_since(there: _Club, challenge: Challenge) -> None:
    """It stood by itself; a plan was withdrawn two days later."""
    of_set = challenge.scramble_set
    settle(set_id=of_set.pk, now=of_set.closes_at + timedelta(hours=49))
    plans = Plan.objects.filter(scramble__scramble_set=of_set, verdict__excess=0)
    plan = plans.select_related("membership", "scramble__scramble_set").order_by("pk")[0]
    later = of_set.closes_at + timedelta(days=4)
    withdraw_plan(plan=plan, by=there.coach, reason=cast.WRONG_NAME, now=later)


def _asked_about(there: _Club, challenge: Challenge) -> None:
    """Two have asked; one has an answer with a correction."""
    of_set = challenge.scramble_set
    plans = Plan.objects.filter(scramble__scramble_set=of_set).order_by("membership", "scramble")
    rows = list(plans.select_related("membership", "scramble__scramble_set"))
    first, last = rows[0], rows[-1]
    at = of_set.closes_at + timedelta(hours=1)
    question = ask(by=first.membership, scramble=first.scramble, words=cast.ASKED[0], now=at)
    answer(
        question=question,
        by=there.coach,
        words=cast.ANSWERED,
        correction=Corrected.PLAN_WITHDRAWN,
        reason=cast.HELD_WRONG,
        now=at + timedelta(hours=1),
    )
    ask(by=last.membership, scramble=last.scramble, words=cast.ASKED[1], now=at)


def _being_checked(challenge: Challenge) -> None:
    """A plan of it could not be checked, so a coach is asked to decide."""
    plans = Plan.objects.waiting().filter(scramble__scramble_set=challenge.scramble_set)
    fail(plan_id=plans.get().pk, reason=cast.NOT_CHECKED)


def _open(there: _Club) -> None:
    """Open since the day before yesterday, some plans in."""
    made = _announce(there, opens_in=-2, closes_in=2)
    day = made.scramble_set.day
    week = (day - there.begins).days // 7
    for entry in entries_of(made.scramble_set, day, week, there.members, there.now):
        hand_in_live(entry, made.scramble_set)
    settle_due(now=there.now)
