"""A crowd that hands in: its members and tokens in a site's database, its requests on the wire."""

from __future__ import annotations

import asyncio
import json
import sys
import time
import uuid
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from itertools import islice
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tests.stack.site import Site

CONNECTIONS = 16
PLAN = "D2 B' D F L U' F2 B"
"""The first worked example of the definitions: a yellow cross, two moves over the best six."""
SCRAMBLE = "F2 B U2 D' U2 L R D L' F' B L U D"
SLUG = "bench"


@dataclass(frozen=True, slots=True)
class Answer:
    """One request's way: when it was due and when its answer was there (seconds), the status."""

    due: float
    there: float
    status: int

    @property
    def took(self) -> float:
        return self.there - self.due


def fill(members: int, scrambles: int) -> dict[str, Any]:
    """A club, its members with a token each, and a set that is open."""
    from django.utils import timezone
    from knox.models import get_token_model

    from tests.counting import count_from_joining
    from training.models import Club, Membership, Person, Scramble, ScrambleSet, TokenReach

    now = timezone.now()
    club = Club.objects.create(name="Bench", slug=SLUG, time_zone="UTC", colours=["yellow"])
    people = Person.objects.bulk_create(
        Person(sign_in_name=f"member-{place}", password="!") for place in range(members)
    )
    Membership.objects.bulk_create(
        Membership(
            club=club,
            person=person,
            display_name=f"Member {place}",
            joined_at=now - timedelta(days=9),
        )
        for place, person in enumerate(people)
    )
    count_from_joining(*Membership.objects.all())
    opened = ScrambleSet.objects.create(
        club=club,
        day=now.date(),
        draw_method="random_state",
        colours=["yellow"],
        opens_at=now - timedelta(hours=1),
        closes_at=now + timedelta(hours=6),
    )
    Scramble.objects.bulk_create(
        Scramble(scramble_set=opened, number=number, text=SCRAMBLE)
        for number in range(1, scrambles + 1)
    )
    made = [get_token_model().objects.create(user=person) for person in people]
    TokenReach.objects.bulk_create(TokenReach(token=token, clubs=[club.pk]) for token, _ in made)
    secrets = [secret for _, secret in made]
    return {"club_id": club.pk, "set_id": opened.pk, "tokens": secrets}


def filled(site: Site, members: int, scrambles: int) -> dict[str, Any]:
    """Fill a site's database from a process of its own."""
    step = (
        "import django, json; django.setup(); from tests.bench.crowd import fill;"
        f" print(json.dumps(fill({members}, {scrambles})))"
    )
    found: dict[str, Any] = json.loads(site.run([sys.executable, "-c", step]))
    return found


def request(path: str, token: str) -> bytes:
    """A hand-in with a key of its own, as it goes over the wire."""
    body = json.dumps({"key": str(uuid.uuid4()), "plan": PLAN}).encode()
    return (
        f"POST {path} HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer {token}\r\n"
        f"Accept: application/json\r\nContent-Type: application/json\r\n"
        f"Content-Length: {len(body)}\r\n\r\n"
    ).encode() + body


def hand_ins(made: dict[str, Any], scrambles: int) -> Iterator[bytes]:
    """Every member's plans, scramble after scramble, so that no member comes twice in a row."""
    for number in range(1, scrambles + 1):
        path = f"/api/v1/clubs/{SLUG}/sets/{made['set_id']}/scrambles/{number}/plan/"
        for token in made["tokens"]:
            yield request(path, token)


def bare_rows(made: dict[str, Any]) -> Iterator[bytes]:
    """Requests to the bare view by the same members, without end."""
    while True:
        for token in made["tokens"]:
            yield request(f"/{made['club_id']}/", token)


def as_many_as_go(port: int, requests: Iterator[bytes], seconds: float) -> list[Answer]:
    """Send over all connections, each as soon as its last answer is there, for some time."""
    until = time.perf_counter() + seconds

    def due() -> Iterator[tuple[float, bytes]]:
        for one in requests:
            if (now := time.perf_counter()) >= until:
                return
            yield now, one

    return asyncio.run(_send(port, due(), CONNECTIONS))


def spread(
    port: int, requests: Iterator[bytes], count: int, seconds: float, connections: int = 64
) -> list[Answer]:
    """Send ``count`` requests at an even pace; each is timed from when it was due."""
    began = time.perf_counter()
    due = (
        (began + place * seconds / count, one) for place, one in enumerate(islice(requests, count))
    )
    return asyncio.run(_send(port, due, connections))


async def _send(port: int, due: Iterable[tuple[float, bytes]], connections: int) -> list[Answer]:
    waiting = iter(due)
    answers: list[Answer] = []

    async def one_connection() -> None:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        for moment, sent in waiting:
            if (early := moment - time.perf_counter()) > 0:
                await asyncio.sleep(early)
            writer.write(sent)
            head = await reader.readuntil(b"\r\n\r\n")
            length = int(head.lower().partition(b"content-length:")[2].partition(b"\r\n")[0])
            await reader.readexactly(length)
            answers.append(Answer(moment, time.perf_counter(), int(head[9:12])))
        writer.close()

    await asyncio.gather(*(one_connection() for _ in range(connections)))
    return answers
