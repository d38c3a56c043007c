"""What one club keeps of somebody, as values: read out, shown and handed out in this shape."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from training.selectors.kept_of_attempts import KeptOfAttempts
from training.selectors.kept_of_challenges import KeptOfChallenges


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan with the scramble that it is for. ``report``: all that the solver said of it.

    ``outlook``: what it leaves beyond the cross. ``sealed``: checked, but its answers are not open
    to whoever reads; then both are None.
    """

    day: date
    kind_of_set: str
    drawn: str
    number: int
    scramble: str
    answer: str
    written: str
    canonical: str
    pair_written: str
    pair_canonical: str
    held: str
    out_of_time: bool
    handed_in_at: datetime
    status: str
    failure_reason: str
    withdrawn_reason: str
    checked_at: datetime | None
    sealed: bool
    report: dict[str, Any] | None
    outlook: dict[str, Any] | None


@dataclass(frozen=True, slots=True)
class KeptConsent:
    """A guardian's consent: what was noted, when, by whom, of which text; and if it was withdrawn.

    ``noted_by`` is empty for somebody who has left; ``text`` where none was numbered yet.
    """

    noted_at: datetime
    noted_by: str
    note: str
    text_number: int | None
    text: str
    withdrawn_at: datetime | None


@dataclass(frozen=True, slots=True)
class KeptCorrection:
    """A correction of a plan of theirs, or one that they made: what, of which day, and why.

    ``undoes``: it takes an earlier one back. ``made``: by them.
    """

    done_at: datetime
    kind: str
    undoes: bool
    day: date
    number: int | None
    reason: str
    made: bool


@dataclass(frozen=True, slots=True)
class KeptGroupTime:
    """A time over which somebody belongs to a group; ``ends_at`` None: until further notice."""

    group: str
    begins_at: datetime
    ends_at: datetime | None


@dataclass(frozen=True, slots=True)
class KeptPeriod:
    """A time over which tables count somebody. ``estimated``: its end is not known exactly.

    ``left_at``: when the account was closed, so that sets still open then do not count either.
    """

    begins_at: datetime
    ends_at: datetime | None
    left_at: datetime | None
    estimated: bool


@dataclass(frozen=True, slots=True)
class KeptDeed:
    """A line of the club's log in which somebody stands.

    ``by`` is empty for whoever runs the server, ``whom`` for everybody else.
    """

    done_at: datetime
    what: str
    by: str
    whom: str
    detail: str


@dataclass(frozen=True, slots=True)
class KeptSum:
    """Verdicts of one set added up, as reviews read them."""

    day: date
    plans: int
    solved: int
    exact: int
    lost: int
    ends_on_bottom: int
    turns_cube_late: int
    back_turns: int
    half_turns: int


@dataclass(frozen=True, slots=True)
class KeptCount:
    """How often one set called for an idea, how often it was answered, and moves lost to it."""

    day: date
    code: str
    called: int
    answered: int
    lost: float


@dataclass(frozen=True, slots=True)
class KeptDue:
    """An idea that comes back in practice, and when.

    ``last``: the latest positions that called for it, ``1`` for one that was answered.
    """

    code: str
    step: int
    due_on: date
    last: str


@dataclass(frozen=True, slots=True)
class KeptLesson:
    """A lesson held without a set that somebody was at: when, and what it was about."""

    day: date
    code: str


@dataclass(frozen=True, slots=True)
class KeptInvite:
    """An invite that somebody made."""

    made_at: datetime
    expires_at: datetime
    role: str
    places: int
    taken: int
    withdrawn_at: datetime | None


@dataclass(frozen=True, slots=True)
class ClubData:
    """All that one club keeps of somebody.

    ``own_windows``: days of sets that were open longer for them.
    ``plans_not_yours_yet``: plans that are left out because whoever reads may
    not see them before the set closes; 0 for the person. ``afterwards``: the days of
    sets that were planned again.
    """

    club: str
    slug: str
    display_name: str
    role: str
    competes: bool
    standing: str
    joined_at: datetime
    under_18: bool
    consent: KeptConsent | None
    counting_periods: tuple[KeptPeriod, ...]
    groups: tuple[str, ...]
    group_times: tuple[KeptGroupTime, ...]
    plans: tuple[KeptPlan, ...]
    plans_not_yours_yet: int
    sums: tuple[KeptSum, ...]
    ideas: tuple[KeptCount, ...]
    practice_due: tuple[KeptDue, ...]
    practice_sets: tuple[date, ...]
    own_homework: tuple[date, ...]
    own_windows: tuple[date, ...]
    afterwards: tuple[date, ...]
    lessons: tuple[KeptLesson, ...]
    log: tuple[KeptDeed, ...]
    invites_made: tuple[KeptInvite, ...]
    calendar_address_made_at: datetime | None
    consents_noted: tuple[datetime, ...]
    corrections: tuple[KeptCorrection, ...]
    challenges: KeptOfChallenges
    attempts: KeptOfAttempts
