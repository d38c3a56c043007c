"""Builds the demo club: weeks of daily sets, and today's with plans still coming in."""

from __future__ import annotations

import hashlib
import random
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cache

from django.contrib.auth.hashers import make_password
from django.db import transaction

from solverworker.cube.colours import CENTRE_OF_COLOUR
from solverworker.cube.cross import state_of_code
from solverworker.cube.holds import BOTTOMS, follow_scramble
from solverworker.cube.turns import write_turns
from solverworker.report import COLOURS
from solverworker.review import check_plan, plan_outlook
from solverworker.review.six_crosses import codes_of_colours
from solverworker.search.scramble import draw_scrambles
from training import clock
from training.entry import Entry
from training.management.demo import cast
from training.management.demo.cast import MEMBERS, Character
from training.management.demo.given import give
from training.management.demo.plans_ahead import plan_ahead
from training.management.demo.second_looks import look_again
from training.management.demo.timed import inspected
from training.models import (
    Club,
    Group,
    GroupTime,
    Membership,
    Person,
    Plan,
    PlanKind,
    Role,
    Scramble,
    ScrambleSet,
    Standing,
)
from training.services.accounts import make_sign_in_code, note_consent
from training.services.corrections import undo, void_scramble, withdraw_plan
from training.services.counting import follow
from training.services.exporting import club_data
from training.services.issuing import issue_of_series
from training.services.particulars import change_role
from training.services.plans import hand_in
from training.services.sets import finish_closed
from training.services.verdicts import record_history

WEEKS = 8
"""Full weeks of history before today, at least."""

COLOUR = "white"


@dataclass(frozen=True, slots=True)
class DemoSignIn:
    """What is printed at the start of the demo."""

    name: str
    sign_in_name: str
    role: str


PHRASE = "lanterns at low tide"
"""Everybody's pass phrase, easy to type from the screen; it opens nothing but a demo."""


@transaction.atomic
def build(*, now: datetime) -> list[DemoSignIn]:
    """Make the club, or bring one that is there up to today. Returns who can sign in."""
    there = Club.objects.filter(name=cast.CLUB).first()
    club = there or _make_club(now)
    _fill(club, now)
    if there is None:
        _correct(club, now)
        plan_ahead(_coach_of(club), now)
        give(_coach_of(club), now)
        look_again(club, now)
    finish_closed(now=now)
    return accounts()


def accounts() -> list[DemoSignIn]:
    """Everybody who can sign in, coaches first."""
    people = [(*cast.COACH,), (*cast.SECOND_COACH,), *((one.name, "member") for one in MEMBERS)]
    return [DemoSignIn(name, cast.sign_in_name(name), role) for name, role in people]


# People --------------------------------------------------------------------------


def _make_club(now: datetime) -> Club:
    club = Club.objects.create(
        name=cast.CLUB,
        slug="harbour-lane",
        time_zone=cast.TIME_ZONE,
        colours=[COLOUR],
        created_at=now - timedelta(weeks=WEEKS + 1),
    )
    first = _first_day(club, now)
    owner = _person(club, cast.COACH[0], Role.OWNER, first, competes=False)
    # Through the services, so that the club's log has something true to show.
    coach = _person(club, cast.SECOND_COACH[0], Role.MEMBER, first, competes=False)
    change_role(by=owner, membership=coach, role=Role.COACH, now=first)
    groups = {
        name: Group.objects.create(club=club, name=name)
        for name in (cast.STARTERS, cast.BUILDERS, cast.PLANNERS)
    }
    for one in MEMBERS:
        joined = first + timedelta(weeks=one.joined_week)
        standing = Standing.CONSENT if one.under_18 else Standing.ACTIVE
        member = _person(
            club, one.name, Role.MEMBER, joined, under_18=one.under_18, standing=standing
        )
        if one.under_18:
            note_consent(by=owner, membership=member, note="guardian, signed form", now=joined)
        GroupTime.objects.create(membership=member, group=groups[one.group], begins_at=joined)
        if one.name == cast.FORGOT_THE_PHRASE:
            make_sign_in_code(by=coach, membership=member, now=now - timedelta(days=8))
        if one.name == cast.GUARDIAN_ASKED:
            club_data(by=coach, membership=member, now=now - timedelta(days=2))
    _person(
        club,
        cast.WAITING_FOR_CONSENT,
        Role.MEMBER,
        now - timedelta(hours=20),
        under_18=True,
        standing=Standing.CONSENT,
    )
    _person(
        club,
        cast.WAITING_TO_BE_LET_IN,
        Role.MEMBER,
        now - timedelta(hours=3),
        standing=Standing.WAITING,
    )
    return club


def _person(club: Club, name: str, role: str, joined: datetime, **fields: object) -> Membership:
    person = Person.objects.create(
        sign_in_name=cast.sign_in_name(name), password=_hashed_phrase(), last_login=joined
    )
    made = Membership.objects.create(
        club=club,
        person=person,
        display_name=name,
        role=role,
        joined_at=joined,
        **fields,
    )
    follow(membership=made, now=joined)
    return made


@cache
def _hashed_phrase() -> str:
    """Hashed once for all: hashing is slow on purpose, and this phrase is no secret."""
    return make_password(PHRASE)


def _first_day(club: Club, now: datetime) -> datetime:
    """The moment at which the history begins: a Monday's midnight."""
    monday = clock.week_of(clock.local_date(now, club.zone) - timedelta(weeks=WEEKS))
    return clock.local_to_utc(monday, clock.MIDNIGHT, club.zone)


# Sets and plans ---------------------------------------------------------------------


def _fill(club: Club, now: datetime) -> None:
    """Issue the sets up to today that are missing, and hand in for everybody who would have."""
    members = {m.display_name: m for m in Membership.objects.filter(club=club)}
    begins = clock.local_date(
        min(m.joined_at for m in members.values() if m.role != Role.MEMBER), club.zone
    )
    today = clock.local_date(now, club.zone)
    for offset in range((today - begins).days + 1):
        day = begins + timedelta(days=offset)
        scramble_set = _set_of(club, day)
        if scramble_set is None or _has_plans(scramble_set, members):
            continue
        entries = list(entries_of(scramble_set, day, offset // 7, members, now))
        if day == today:
            for entry in entries:
                hand_in_live(entry, scramble_set)
        else:
            record(entries)


def _set_of(club: Club, day: date) -> ScrambleSet | None:
    series = club.first_series
    window = clock.window_of_day(day, series.opens, series.closes, club.zone)
    return issue_of_series(
        series=series,
        day=day,
        drawer=lambda count: draw_scrambles(count, f"demo/{day.isoformat()}"),
        now=window.opens_at - timedelta(days=1),
    )


def _has_plans(scramble_set: ScrambleSet, members: dict[str, Membership]) -> bool:
    simulated = [members[one.name] for one in MEMBERS if one.name in members]
    return Plan.objects.filter(
        scramble__scramble_set=scramble_set, membership__in=simulated
    ).exists()


def _coach_of(club: Club) -> Membership:
    coaches = Membership.objects.select_related("person", "club")
    return coaches.get(club=club, display_name=cast.SECOND_COACH[0])


def _correct(club: Club, now: datetime) -> None:
    """A misprinted scramble, a plan withdrawn, and one withdrawn by mistake and restored."""
    coach = _coach_of(club)
    closed = list(ScrambleSet.objects.of_club(club).closed(now).order_by("closes_at"))
    scramble = closed[1].scrambles.select_related("scramble_set").get(number=4)
    after = closed[1].closes_at + timedelta(hours=9)
    void_scramble(scramble=scramble, by=coach, reason=cast.MISPRINTED, now=after)
    of_last = Plan.objects.filter(scramble__scramble_set=closed[-1], scramble__number=1)
    plans = of_last.select_related("membership", "scramble__scramble_set")
    wrongly, rightly = (plans.get(membership__display_name=one) for one in cast.CORRECTED)
    at = closed[-1].closes_at + timedelta(minutes=30)
    entry = withdraw_plan(plan=wrongly, by=coach, reason=cast.WRONG_NAME, now=at)
    undo(correction=entry, by=coach, reason=cast.NOT_THIS_ONE, now=at + timedelta(minutes=4))
    withdraw_plan(plan=rightly, by=coach, reason=cast.WRONG_NAME, now=at + timedelta(minutes=5))


@dataclass(frozen=True, slots=True)
class DemoEntry:
    """A plan that somebody of the cast hands in at its minute."""

    membership: Membership
    scramble: Scramble
    text: str | None
    pair: str
    at: datetime
    key: uuid.UUID
    seconds: float | None = None


def entries_of(
    scramble_set: ScrambleSet,
    day: date,
    week: int,
    members: dict[str, Membership],
    now: datetime,
) -> Iterator[DemoEntry]:
    """The plans of one day, each in its minute, up to now."""
    scrambles = list(Scramble.objects.filter(scramble_set=scramble_set))
    for scramble in scrambles:
        scramble.scramble_set = scramble_set
    for one in MEMBERS:
        member = members.get(one.name)
        if member is None or member.standing != Standing.ACTIVE:
            continue
        if member.joined_at > scramble_set.opens_at or not one.attends(day, week):
            continue
        for scramble in scrambles[: one.finishes]:
            chance = _stream(one.name, scramble.text)
            minutes = one.hour * 60 + 4 * scramble.number + chance.randrange(3)
            at = scramble_set.opens_at + timedelta(minutes=minutes)
            if at > now:
                continue
            text = _plan(one, scramble.text, week, chance)
            yield DemoEntry(
                membership=member,
                scramble=scramble,
                text=text,
                pair=_pair(one, scramble.text, text) if one.sees_pairs and text else "",
                at=at,
                key=uuid.UUID(int=chance.getrandbits(128), version=4),
            )


def _plan(one: Character, scramble: str, week: int, chance: random.Random) -> str | None:
    """The plan as written: the rotation that puts the colour at the bottom, then the turns."""
    before = follow_scramble(scramble)
    code = int(codes_of_colours(before)[COLOURS.index(COLOUR), 0])
    turns = one.growth.plan(state_of_code(code), week, chance)
    if turns is None:
        return None
    rotation = BOTTOMS[before.hold][CENTRE_OF_COLOUR[COLOUR]].rotation
    return f"{rotation} {write_turns(turns)}".strip() if turns else ""


def _pair(one: Character, scramble: str, plan: str) -> str:
    """The first pair as written: the nearest after the plan, in one of four not to its end."""
    found = plan_outlook(scramble, plan, colours=[COLOUR]).own
    turns = found.then.split() if found else []
    if _stream(one.name, scramble, "pair").randrange(4) == 0:
        turns = turns[:-1]
    return " ".join(turns)


def record(entries: list[DemoEntry]) -> None:
    """Plans of the past with their verdicts."""
    plans = [
        (
            Plan(
                scramble=entry.scramble,
                membership=entry.membership,
                kind=PlanKind.NO_PLAN if entry.text is None else PlanKind.MOVES,
                written=entry.text or "",
                canonical=entry.text or "",
                pair_written=entry.pair,
                pair_canonical=entry.pair,
                inspection=inspected(entry.membership, entry.scramble, entry.at, entry.seconds),
                key=entry.key,
                handed_in_at=entry.at,
                rung_at=entry.at,
                attempts=1,
            ),
            check_plan(entry.scramble.text, entry.text or "", colours=[COLOUR]),
        )
        for entry in entries
    ]
    record_history(checked=plans)


def hand_in_live(entry: DemoEntry, scramble_set: ScrambleSet) -> None:
    """Today's plans go the way of every plan: the row waits, and the worker checks it."""
    hand_in(
        membership=entry.membership,
        scramble=entry.scramble,
        entry=Entry.of(
            entry.text or "",
            no_plan=entry.text is None,
            cross_is_solved=entry.text == "",
            pair=entry.pair,
        ),
        key=entry.key,
        inspection=inspected(entry.membership, entry.scramble, entry.at),
        now=entry.at,
    )


def _stream(*words: str) -> random.Random:
    """A stream of numbers of its own for these words, the same on every machine."""
    seed = hashlib.sha256("\n".join(words).encode()).digest()
    return random.Random(int.from_bytes(seed, "big"))  # noqa: S311 - a demo, not a secret
