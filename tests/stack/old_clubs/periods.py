"""A club of a version without counting periods, a member for each way to stand."""

from __future__ import annotations

import uuid
from datetime import UTC, datetime, timedelta
from typing import Any

from django.db import IntegrityError, connection

from tests.stack.old_clubs.days import RULES
from tests.stack.old_clubs.old import insert, rows

BEFORE = "0022"
MONDAY = datetime(2026, 11, 2, tzinfo=UTC)
DAY = timedelta(days=1)
JOINED = MONDAY - 20 * DAY
CLUB = 1001
"""Its number; those of its rows begin there too."""
PEOPLE: dict[str, dict[str, Any]] = {
    "open": {},
    "never signed in": {"last_login": None},
    "plans alone": {"last_login": None},
    "child": {"under_18": True, "consent_noted_at": MONDAY + 2 * DAY},
    "waits for consent": {"under_18": True, "standing": "consent"},
    "consent withdrawn": {
        "under_18": True,
        "standing": "consent",
        "consent_noted_at": MONDAY - 9 * DAY,
        "consent_withdrawn_at": MONDAY + 5 * DAY,
    },
    "waits": {"standing": "waiting"},
    "coach": {"role": "coach", "competes": False},
    "archived": {"standing": "archived"},
    "archived without a plan": {"standing": "archived"},
    "": {"standing": "former", "left_at": MONDAY + 7 * DAY},
}
PLANNED = {"open": 0, "plans alone": 1, "child": 2, "archived": 3, "": 1}
"""Who planned in the set of which day, counted from Monday."""


def fill() -> None:
    """A club as it was."""
    insert(
        "club",
        **{"id": CLUB, "name": "Old", "slug": "old", "language": "en", **RULES},
        created_at=JOINED,
        time_zone="UTC",
        daily_weekdays="[0, 1, 2, 3, 4, 5, 6]",
        daily_opens="00:00:00",
        daily_closes="00:00:00",
        daily_scrambles=1,
        technique_target=70,
    )
    for number in range(6):
        opens = MONDAY + number * DAY
        insert(
            "scrambleset",
            **{"id": CLUB + number, "club_id": CLUB, "kind": "daily", "drawn": "as_drawn", **RULES},
            draw_method="x",
            seed="",
            scrambles_wanted=0,
            day=opens.date(),
            opens_at=opens,
            closes_at=opens + DAY,
            issued_at=opens,
        )
        insert("scramble", id=CLUB + number, scramble_set_id=CLUB + number, number=1, text="R D")
    for number, (name, fields) in enumerate(PEOPLE.items(), start=CLUB):
        fields = {"last_login": JOINED, **fields}
        insert(
            "person",
            id=number,
            sign_in_name=f"m{number}",
            password="!",
            is_active=True,
            must_choose_phrase=False,
            language="",
            created_at=JOINED,
            last_login=fields.pop("last_login"),
        )
        fields = {"role": "member", "standing": "active", "competes": True, **fields}
        insert(
            "membership",
            id=number,
            club_id=CLUB,
            person_id=number,
            display_name=name,
            **{"joined_at": JOINED, "under_18": False, "consent_note": "", **fields},
        )
        if name in PLANNED:
            the_set = CLUB + PLANNED[name]
            at = MONDAY + PLANNED[name] * DAY + timedelta(hours=3)
            insert(
                "plan",
                id=number,
                scramble_id=the_set,
                membership_id=number,
                kind="moves",
                written="",
                canonical="",
                key=str(uuid.uuid4()),
                handed_in_at=at,
                status="checked",
                attempts=1,
                rung_at=at,
                failure_reason="",
                rules_version=1,
                withdrawn_reason="",
            )
            insert(
                "setsummary",
                membership_id=number,
                scramble_set_id=the_set,
                plans=1,
                solved=1,
                exact=1,
                lost=0,
                points=0,
                crosses="[]",
                ends_on_bottom=0,
                turns_cube_late=0,
                back_turns=0,
                half_turns=0,
            )


def found() -> dict[str, Any]:
    """The periods, what enters no totals, and what a server says of periods that overlap."""
    periods = rows(
        "SELECT m.display_name, p.begins_at, p.ends_at, p.left_at, p.estimated "
        "FROM training_countingperiod p JOIN training_membership m ON m.id = p.membership_id "
        f"WHERE m.club_id = {CLUB}"
    )
    outside = rows(
        "SELECT m.display_name FROM training_setsummary s "
        "JOIN training_membership m ON m.id = s.membership_id WHERE NOT s.counts"
    )
    return {"periods": periods, "outside": outside, "overlap": _refusal_of_an_overlap()}


def _refusal_of_an_overlap() -> str | None:
    if connection.vendor == "sqlite":
        return None
    try:
        insert(
            "countingperiod",
            membership_id=CLUB,
            begins_at=JOINED - DAY,
            ends_at=JOINED + DAY,
            estimated=False,
        )
    except IntegrityError as error:
        return type(error.__cause__).__name__
    return None
