"""Which days a rule of weekdays has (RFC 5545, section 3.3.10, by dateutil). Pure."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, datetime, time, timedelta

from dateutil.rrule import WEEKLY, rrule

ONE = timedelta(days=1)


def days(
    weekdays: Collection[int],
    first: date,
    last: date,
    *,
    begins_on: date | None = None,
    stopped_on: date | None = None,
) -> list[date]:
    """The days from ``first`` to ``last``, both included, that fall on ``weekdays`` (Monday = 0).

    None before ``begins_on``, none from ``stopped_on`` on.

    >>> [str(one) for one in days([2, 4], date(2026, 11, 25), date(2026, 12, 2))]
    ['2026-11-25', '2026-11-27', '2026-12-02']
    """
    begin = first if begins_on is None else max(first, begins_on)
    end = last if stopped_on is None else min(last, stopped_on - ONE)
    if not weekdays or end < begin:
        return []
    start = datetime.combine(begin, time())
    rule = rrule(
        WEEKLY, byweekday=sorted(weekdays), dtstart=start, until=datetime.combine(end, time())
    )
    return [one.date() for one in rule]
