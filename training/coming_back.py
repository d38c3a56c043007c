"""When a missed idea comes back to its member: pure, from one position to the next.

Common practice in spaced repetition, from memory: after 1, 6 and 15 days, back to the start on a
new miss. An idea is let go once it was answered in 4 of the last 5 positions that called for it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

AFTER_DAYS = (1, 6, 15)
ANSWERED, MISSED = "1", "0"
OF_LAST, ENOUGH = 5, 4
"""An idea is let go when so many of the last positions that called for it were answered."""


@dataclass(frozen=True, slots=True)
class Return:
    """An idea that comes back.

    ``step``: how often it was answered on its day since the last miss, at most
    two; ``last``: the latest positions, the newest at the end; ``missed_plan``:
    the plan that missed it.
    """

    step: int
    due_on: date
    last: str
    missed_plan: int | None


def after(there: Return | None, *, plan: int, day: date, answered: bool) -> Return | None:
    """What is kept of an idea after one more position that called for it; None: nothing.

    ``plan``: the one that met it, on ``day``.

    >>> missed = after(None, plan=7, day=date(2026, 11, 25), answered=False)
    >>> missed.due_on.isoformat(), after(None, plan=8, day=date(2026, 11, 26), answered=True)
    ('2026-11-26', None)
    """
    if there is None:
        return None if answered else Return(0, _in(day, 0), MISSED, plan)
    last = (there.last + (ANSWERED if answered else MISSED))[-OF_LAST:]
    if not answered:
        return Return(0, _in(day, 0), last, plan)
    if last.count(ANSWERED) >= ENOUGH:
        return None
    if there.due_on > day:
        return replace(there, last=last)
    step = min(there.step + 1, len(AFTER_DAYS) - 1)
    return Return(step, _in(day, step), last, there.missed_plan)


def _in(day: date, step: int) -> date:
    return day + timedelta(days=AFTER_DAYS[step])
