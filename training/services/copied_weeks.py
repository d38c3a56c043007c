"""Last week once more: what a coach did by hand in one week is done in the next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from training import clock
from training.models import Membership, OtherDay, Series
from training.refusals import InvalidEntry
from training.selectors import occurrences, planning
from training.services.issuing import withdraw_sealed
from training.services.planning import Seen, planning_week


@dataclass(frozen=True, slots=True)
class Copied:
    """What copying a week would do: sets more and days that go otherwise, by their new days."""

    sets: tuple[tuple[date, Series], ...]
    others: tuple[tuple[date, OtherDay], ...]

    @property
    def is_empty(self) -> bool:
        return not self.sets and not self.others


def to_copy(*, by: Membership, monday: date, now: datetime) -> Copied:
    """What a coach did by hand in the week before ``monday`` and the week has not yet.

    Series issue their sets by themselves, so these are not copied. Days that are
    over, off, or go otherwise already are left as they are.
    """
    today = clock.local_date(now, by.club.zone)
    once, others = planning.by_hand(by, monday - planning.WEEK)
    there, otherwise = planning.by_hand(by, monday)
    alike = {(one.only_on, one.kind, one.opens, one.name) for one in there}
    taken = {(one.series_id, one.day) for one in otherwise}
    off = occurrences.days_off_between(by.club, monday, monday + planning.WEEK)

    def later(day: date) -> date:
        return day + planning.WEEK

    def is_free(day: date) -> bool:
        return day > today and day not in off

    return Copied(
        sets=tuple(
            (later(one.only_on), one)
            for one in once
            if one.only_on is not None
            and is_free(later(one.only_on))
            and (later(one.only_on), one.kind, one.opens, one.name) not in alike
        ),
        others=tuple(
            (later(one.day), one)
            for one in others
            if is_free(later(one.day))
            and (one.held_on is None or is_free(later(one.held_on)))
            and (one.series_id, later(one.day)) not in taken
            and one.series.days(later(one.day), later(one.day))
        ),
    )


def copy_last_week(*, by: Membership, seen: Seen, now: datetime | None = None) -> int:
    """Do in a week what was done by hand in the one before. Returns how many things were.

    Raises NotAllowed, PlanChanged, InvalidEntry when there is nothing.
    """
    now = now or timezone.now()
    with planning_week(by, seen, now):
        copied = to_copy(by=by, monday=seen.monday, now=now)
        if copied.is_empty:
            raise InvalidEntry(
                _("Nothing was done by hand in the week before that is not in this one already.")
            )
        for day, one in copied.sets:
            groups = list(one.groups.all())
            one.pk, one._state.adding = None, True
            one.only_on, one.begins_on = day, day
            one.save()
            one.groups.set(groups)
        for day, other in copied.others:
            held_on = None if other.held_on is None else other.held_on + planning.WEEK
            withdraw_sealed(club=by.club, now=now, day=day, series=other.series)
            OtherDay.objects.create(
                series=other.series,
                day=day,
                held_on=held_on,
                opens=other.opens,
                closes=other.closes,
            )
    return len(copied.sets) + len(copied.others)
