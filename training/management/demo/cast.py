"""The people of the demo club. All invented."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from training.management.demo.habits import (
    Growth,
    edge_by_edge,
    gives_up_at,
    shortest,
    with_slips,
    without,
)

CLUB = "Harbour Lane"
TIME_ZONE = "Europe/Oslo"
STARTERS, BUILDERS, PLANNERS = "Starters", "Builders", "Planners"

Attends = Callable[[date, int], bool]
"""Whether somebody hands in on a day, in a week of the history (0 for the first)."""


def every_day(day: date, week: int) -> bool:
    return True


def school_days(day: date, week: int) -> bool:
    return day.weekday() < 5


def not_on_wednesdays(day: date, week: int) -> bool:
    return day.weekday() != 2


def training_days(day: date, week: int) -> bool:
    return day.weekday() in {0, 1, 3, 5}


def fell_quiet(day: date, week: int) -> bool:
    return week < 7 or (week == 7 and day.weekday() < 3)


def came_back(day: date, week: int) -> bool:
    return week != 1 and day.weekday() != 6


@dataclass(frozen=True, slots=True)
class Character:
    """One member: the habit and how it grows, the days, the hour at which plans come in.

    ``joined_week``: the week of the history in which they join; ``finishes``: how
    many of the five scrambles are planned on a usual day; ``sees_pairs``: whether the
    first pair is written too.
    """

    name: str
    group: str
    growth: Growth
    attends: Attends
    hour: float
    joined_week: int = 0
    under_18: bool = True
    finishes: int = 5
    sees_pairs: bool = False


def _steady(habit: Callable[..., tuple[int, ...] | None]) -> Growth:
    return Growth(habit, habit, [0])


_SLIPPING = with_slips(shortest, one_in=3)
_TIDY = with_slips(shortest, one_in=8)
_NO_RELATIVE = with_slips(without("relative_build"), one_in=9)
_NO_BASE_TURN = with_slips(without("base_turn"), one_in=9)
_NO_SHARED = with_slips(without("shared_turn"), one_in=9)
_BEGINNER = with_slips(gives_up_at(edge_by_edge, 7), one_in=7)
_BRAVER = with_slips(edge_by_edge, one_in=10)

MEMBERS = (
    Character(
        "Noor",
        PLANNERS,
        _steady(with_slips(shortest, one_in=20)),
        every_day,
        6.8,
        sees_pairs=True,
    ),
    Character("Teodor", PLANNERS, _steady(_TIDY), school_days, 16.2, under_18=False),
    Character(
        "Sunniva",
        PLANNERS,
        Growth(_NO_SHARED, _TIDY, [10, 10, 10, 10, 9, 3, 2, 1, 1]),
        every_day,
        7.4,
    ),
    Character("Feng", PLANNERS, _steady(_SLIPPING), not_on_wednesdays, 20.1),
    Character(
        "Ines",
        BUILDERS,
        Growth(_NO_RELATIVE, _TIDY, [10, 10, 10, 10, 9, 9, 8, 6, 5]),
        every_day,
        17.3,
    ),
    Character(
        "Quill",
        BUILDERS,
        Growth(_NO_RELATIVE, _TIDY, [10, 10, 10, 10, 9, 9, 9, 9, 8]),
        training_days,
        19,
    ),
    Character(
        "Bashir",
        BUILDERS,
        Growth(_NO_BASE_TURN, _TIDY, [10, 10, 10, 9, 8, 7, 5, 4, 3]),
        every_day,
        8.1,
    ),
    Character(
        "Marta",
        BUILDERS,
        Growth(_NO_SHARED, _TIDY, [10, 10, 10, 9, 9, 9, 9, 8, 8]),
        school_days,
        15.6,
    ),
    Character("Ossian", BUILDERS, _steady(_NO_BASE_TURN), fell_quiet, 18.4),
    Character(
        "Vigdis",
        BUILDERS,
        Growth(_NO_RELATIVE, _SLIPPING, [9, 9, 8, 7, 7, 5, 4, 4, 3]),
        came_back,
        7.9,
    ),
    Character(
        "Pascale",
        STARTERS,
        Growth(_BEGINNER, _NO_RELATIVE, [10, 10, 10, 9, 9, 8, 7, 6, 5]),
        every_day,
        9,
    ),
    Character(
        "Henrik",
        STARTERS,
        Growth(_BEGINNER, _BRAVER, [10, 10, 9, 8, 8, 7, 6, 5, 4]),
        school_days,
        14.2,
    ),
    Character(
        "Little Jo",
        STARTERS,
        Growth(_BEGINNER, _BRAVER, [10, 10, 10, 10, 10, 10, 10, 9, 8]),
        not_on_wednesdays,
        16.9,
        joined_week=2,
        finishes=4,
    ),
    Character("Amaro", STARTERS, _steady(_BRAVER), training_days, 12.5, under_18=False),
)

COACH = ("Mara", "owner")
SECOND_COACH = ("Iver", "coach")
WAITING_FOR_CONSENT = "Pim"
FORGOT_THE_PHRASE = "Vigdis"
"""Whom a coach made a sign-in card for."""
GUARDIAN_ASKED = "Pascale"
"""Whose guardian asked a coach for what is kept."""
WAITING_TO_BE_LET_IN = "Oona"
LINE_BROKE = "the hall’s line broke"
CORRECTED = ("Noor", "Bashir")
"""Whose plan was withdrawn by mistake, and whose rightly."""
MISPRINTED = "misprinted on the club’s sheets"
WRONG_NAME = "typed in under the wrong name"
HELD_WRONG = "planned with the cube the wrong way round"
NOT_THIS_ONE = "it was the other plan"
SEASON = "Lantern season"
NAMED_OUTSIDE = "Teodor"
"""Who has said that the own name may stand outside the club."""
ASKED = (
    "I had the cube the wrong way round. Can this plan be taken out?",
    "Why is the last move lost? I thought the edge was already home.",
)
ANSWERED = "Yes. It is withdrawn, and counts like one that was not handed in."
NOT_CHECKED = "The checker was stopped three times while it looked at this plan."


def sign_in_name(name: str) -> str:
    """``Little Jo`` signs in as ``little-jo``."""
    return name.lower().replace(" ", "-")
