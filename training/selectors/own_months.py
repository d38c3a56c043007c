"""A member's sets by month: which months have any, and from when to when one is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from training import clock, visibility
from training.models import Membership, ScrambleSet


@dataclass(frozen=True, slots=True)
class MonthOfSets:
    """A month (its first day), and the instants between which its sets open.

    ``first`` and ``last``: the first and the last month with any set since joining, None where
    there is none; ``before`` and ``after``: the nearest months with one.
    """

    month: date
    begin: datetime
    end: datetime
    first: date | None
    last: date | None
    before: date | None
    after: date | None


def month_of_sets(member: Membership, now: datetime, month: date | None = None) -> MonthOfSets:
    """The month that is asked for, else the newest that has a set. Four queries."""
    sets = visibility.sets_since_joining(member, now)
    last = _month_of(member, sets.order_by("-opens_at").first())
    month = (month or last or clock.local_date(now, member.club.zone)).replace(day=1)
    following = (month + timedelta(days=31)).replace(day=1)
    begin, end = (
        clock.local_to_utc(day, clock.MIDNIGHT, member.club.zone) for day in (month, following)
    )
    return MonthOfSets(
        month=month,
        begin=begin,
        end=end,
        first=_month_of(member, sets.order_by("opens_at").first()),
        last=last,
        before=_month_of(member, sets.filter(opens_at__lt=begin).order_by("-opens_at").first()),
        after=_month_of(member, sets.filter(opens_at__gte=end).order_by("opens_at").first()),
    )


def _month_of(member: Membership, found: ScrambleSet | None) -> date | None:
    if found is None:
        return None
    return clock.local_date(found.opens_at, member.club.zone).replace(day=1)
