"""The fixed cast: two clubs, a coach, two members, and an outsider of the other club."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import hypothesis
import pytest
import time_machine
from django.core.cache import cache

from tests.counting import count_from_joining
from tests.database import django_db_keepdb, migrated_file, of_this_run
from tests.sharing import (
    pytest_collection_finish,
    pytest_collection_modifyitems,
    pytest_configure,
)
from training import dispatch
from training.models import Club, Drawn, Kind, Membership, Person, Plan, Role, Scramble, ScrambleSet
from training.prepared import LARGE, SMALL, Prepared

hypothesis.settings.register_profile("house", deadline=None)  # no test fails by the clock
hypothesis.settings.load_profile("house")

__all__ = [
    "django_db_keepdb",
    "migrated_file",
    "of_this_run",
    "pytest_collection_finish",
    "pytest_collection_modifyitems",
    "pytest_configure",
]

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
"""A Wednesday noon, at which most tests happen."""

PHRASE = "seven wooden boats"

# Yellow crosses whose shortest solution is known by hand: two turns, taken back.
EASY = ("R D", "D R", "R F", "F R", "R B")


@pytest.fixture(autouse=True)
def _fresh_process() -> Iterator[None]:
    """No counter and no hushed bell of an earlier test."""
    cache.clear()
    dispatch.bell.reset()
    yield
    cache.clear()


@pytest.fixture
def clock() -> Iterator[Callable[[datetime], None]]:
    """Set what everything here believes the time to be: ``clock(instant)``.

    The whole process is sent there, libraries too: one that reads the real
    time beside a site at its fixed noon would see the past as long ago.
    """
    traveller = time_machine.travel(NOON, tick=False)
    coordinates = traveller.start()
    yield coordinates.move_to
    traveller.stop()


def make_membership(club: Club, name: str, role: str = Role.MEMBER, **fields: Any) -> Membership:
    """Somebody of a club with the phrase of the tests; joined and signed in long ago."""
    person = Person.objects.create_person(name.lower(), PHRASE)
    person.last_login = NOON - timedelta(days=365)
    person.save(update_fields=["last_login"])
    fields.setdefault("joined_at", NOON - timedelta(days=365))
    fields.setdefault("competes", role == Role.MEMBER)
    made = Membership.objects.create(
        club=club, person=person, display_name=name, role=role, **fields
    )
    count_from_joining(made)
    return made


@pytest.fixture
def club(db: None) -> Club:
    return Club.objects.create(
        name="Lantern Street", slug="lantern-street", time_zone="Europe/Oslo", colours=["yellow"]
    )


@pytest.fixture
def other_club(db: None) -> Club:
    return Club.objects.create(name="Far Shore", slug="far-shore", time_zone="Asia/Tokyo")


@pytest.fixture
def owner(club: Club) -> Membership:
    return make_membership(club, "Odd", Role.OWNER)


@pytest.fixture
def coach(club: Club) -> Membership:
    return make_membership(club, "Kari", Role.COACH)


@pytest.fixture
def member(club: Club) -> Membership:
    return make_membership(club, "Ines")


@pytest.fixture
def second(club: Club) -> Membership:
    return make_membership(club, "Bashir")


@pytest.fixture
def outsider(other_club: Club) -> Membership:
    return make_membership(other_club, "Orla", Role.COACH)


scramble_of = Prepared(
    lambda pk, number: (
        Scramble.objects.select_related("scramble_set__club")
        .filter(scramble_set=pk, number=number)
        .order_by()
    ),
    *(LARGE, SMALL),
)


@dataclass(frozen=True)
class Given:
    """Makes what a test needs in one line each."""

    club: Club

    def a_set(
        self,
        opens: datetime = NOON - timedelta(hours=13),
        closes: datetime = NOON + timedelta(hours=11),
        scrambles: tuple[str, ...] = EASY,
        **fields: Any,
    ) -> ScrambleSet:
        """A daily set; today's, midnight to midnight in Oslo, unless told otherwise."""
        club = fields.pop("club", self.club)
        fields.setdefault("day", opens.astimezone(club.zone).date())
        fields.setdefault("draw_method", "thirty_turns")
        if fields.get("kind", Kind.DAILY) == Kind.DAILY:
            fields.setdefault("series", club.first_series)
        fields.setdefault("colours", ["yellow"])
        if fields.get("drawn") == Drawn.PICKED:
            fields.setdefault("profile", {"technique": "base_turn"})
        made = ScrambleSet.objects.create(club=club, opens_at=opens, closes_at=closes, **fields)
        Scramble.objects.bulk_create(
            Scramble(scramble_set=made, number=n, text=text)
            for n, text in enumerate(scrambles, start=1)
        )
        return made

    def scramble(self, scramble_set: ScrambleSet, number: int = 1) -> Scramble:
        (found,) = scramble_of(scramble_set.pk, number)
        return found

    def a_plan(
        self,
        who: Membership,
        scramble_set: ScrambleSet,
        number: int,
        moves: str | None,
        *,
        at: datetime = NOON,
        checked: bool = True,
    ) -> Plan:
        """A plan handed in (None: no plan) and, unless told otherwise, really checked."""
        from solverworker import tasks
        from training.entry import Entry
        from training.services.plans import hand_in

        plan = hand_in(
            membership=who,
            scramble=self.scramble(scramble_set, number),
            entry=Entry.of(moves or "", no_plan=moves is None, cross_is_solved=moves == ""),
            key=uuid.uuid4(),
            now=at,
        ).plan
        if checked:
            assert tasks.check_plan.run(plan.pk)
            plan.refresh_from_db()
        return plan


@pytest.fixture
def given(club: Club) -> Given:
    return Given(club)
