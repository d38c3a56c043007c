"""Clubs of a version without series.

The rule of that version is written out here once more, from its own words (``daily_closes`` at
or before ``daily_opens`` means the next day; weekdays with Monday = 0): our own, no source.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from tests.stack.old_clubs.old import insert, rows

BEFORE, WITH = "0033", "0038"
"""The last migration of that version, and one that has series."""
MONDAY = datetime(2026, 11, 2, tzinfo=UTC)
DAY = timedelta(days=1)
CLUBS = {
    2001: ("[0, 1, 2, 3, 4, 5, 6]", "00:00:00", "00:00:00", 5),
    2002: ("[1, 3]", "18:00:00", "02:30:00", 3),
    2003: ("[]", "06:00:00", "20:00:00", 12),
}
"""Weekdays, opening, closing and scrambles of three clubs of old."""
RULES = {
    "colours": '["yellow"]',
    "spelling": "club",
    "answers_to": "own_plan",
    "table_to": "own_plan",
}
OURS = f"BETWEEN {min(CLUBS)} AND {max(CLUBS)}"


def fill() -> None:
    for number, (weekdays, opens, closes, scrambles) in CLUBS.items():
        insert(
            "club",
            id=number,
            name=f"Old {number}",
            slug=f"old-{number}",
            language="en",
            **{"created_at": MONDAY, "time_zone": "Europe/Oslo", **RULES},
            daily_weekdays=weekdays,
            daily_opens=opens,
            daily_closes=closes,
            daily_scrambles=scrambles,
            technique_target=70,
        )
        for day in range(2):
            at = MONDAY + day * DAY
            for kind in ("daily", "homework"):
                insert(
                    "scrambleset",
                    **{"club_id": number, "kind": kind, "drawn": "as_drawn", **RULES},
                    draw_method="x",
                    seed="",
                    scrambles_wanted=0,
                    day=at.date(),
                    opens_at=at,
                    closes_at=at + DAY,
                    issued_at=at,
                    taken_out=False,
                    spare="",
                )


def found() -> dict[str, Any]:
    """All series, and of each set its club, its kind and the club of its series."""
    series = rows(
        "SELECT club_id, weekdays, opens, closes, scrambles, days_later FROM training_series "
        f"WHERE club_id {OURS} ORDER BY club_id"
    )
    sets = rows(
        "SELECT s.club_id, s.kind, r.club_id FROM training_scrambleset s "
        f"LEFT JOIN training_series r ON r.id = s.series_id WHERE s.club_id {OURS}"
    )
    return {"series": series, "sets": sets}


def found_before() -> dict[str, Any]:
    """The days of the clubs in the shape of before, and how many sets there are of each kind."""
    days = rows(
        "SELECT id, daily_weekdays, daily_opens, daily_closes, daily_scrambles FROM training_club "
        f"WHERE id {OURS} ORDER BY id"
    )
    kinds = rows(
        f"SELECT kind, COUNT(*) FROM training_scrambleset WHERE club_id {OURS} "
        "GROUP BY kind ORDER BY kind"
    )
    return {"days": days, "kinds": kinds}
