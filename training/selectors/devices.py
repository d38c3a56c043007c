"""What somebody is signed in with."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime

from knox.models import get_token_model

from training.models import Club, Person, SignedIn


@dataclass(frozen=True, slots=True)
class BrowserOfMine:
    """A browser with an open session; ``is_this`` for the one that asks."""

    id: int
    browser: str
    system: str
    began_at: datetime
    is_this: bool


@dataclass(frozen=True, slots=True)
class ProgramOfMine:
    """A program with a token, and the names of the clubs that it opens."""

    handle: str
    program: str
    clubs: tuple[str, ...]
    scopes: tuple[str, ...]
    made_at: datetime
    until: datetime | None


@dataclass(frozen=True, slots=True)
class DevicesOfMine:
    """Everything that lets somebody in without a pass phrase now, the latest first."""

    browsers: tuple[BrowserOfMine, ...]
    programs: tuple[ProgramOfMine, ...]


def devices_of(person: Person, session_key: str | None, now: datetime) -> DevicesOfMine:
    """What ``person`` is signed in with. A constant number of queries."""
    browsers = SignedIn.objects.filter(person=person, session__expire_date__gt=now)
    tokens = list(
        get_token_model()
        .objects.filter(user=person, expiry__gt=now)
        .select_related("reach")
        .order_by("-created")
    )
    reached = {one.pk: one.reach.clubs if hasattr(one, "reach") else [] for one in tokens}
    names = Club.objects.in_bulk({club for clubs in reached.values() for club in clubs})
    return DevicesOfMine(
        browsers=tuple(
            BrowserOfMine(
                one.pk, one.browser, one.system, one.began_at, one.session_id == session_key
            )
            for one in browsers
        ),
        programs=tuple(
            ProgramOfMine(
                handle=handle_of(one.pk),
                program=one.reach.program if hasattr(one, "reach") else "",
                clubs=tuple(sorted(names[i].name for i in reached[one.pk] if i in names)),
                scopes=tuple(one.reach.scopes if hasattr(one, "reach") else ()),
                made_at=one.created,
                until=one.expiry,
            )
            for one in tokens
        ),
    )


def handle_of(token_digest: str) -> str:
    """What a token is called on a page: nothing that opens anything can be made of it."""
    return hashlib.sha256(token_digest.encode()).hexdigest()[:16]
