"""Planning a week: a set more, a day without one, another day or hour, holidays.

Everything is said of one week as it was shown (``seen``: its version). Where it
has changed since, nothing is stored: two coaches never overwrite each other. What
has opened never changes here.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from training import clock, dispatch, replanning, rights
from training.models import Club, DayOff, Group, Membership, OtherDay, ScrambleSet, Series
from training.refusals import InvalidEntry, PlanChanged
from training.selectors import occurrences, planning
from training.selectors.planning import PlannedSet, PlannedWeek
from training.services import series as services
from training.services.issuing import withdraw_sealed
from training.services.validating import require_in_reach, require_storable

MOST_HOLIDAYS = 120
"""So many days off are noted at once: a year's holidays."""


@dataclass(frozen=True, slots=True)
class Seen:
    """The week that a coach saw, by its Monday and its version."""

    monday: date
    version: str


@contextmanager
def planning_week(by: Membership, seen: Seen, now: datetime) -> Iterator[PlannedWeek]:
    """Lock the club's plan and give the week, which nobody has changed since it was seen."""
    rights.require_coach(by)
    with transaction.atomic():
        Club.objects.select_for_update().get(pk=by.club_id)
        found = planning.week(by, seen.monday, now)
        if found.version != seen.version:
            raise PlanChanged(
                _(
                    "This week has been changed meanwhile, so nothing of yours was stored. You "
                    "see it as it is now: do once more what is still to be done."
                )
            )
        yield found
        dispatch.ask_for_drawing_after_commit()


def add_set(
    *,
    by: Membership,
    seen: Seen,
    day: date,
    settings: Mapping[str, Any],
    groups: Collection[Group] = (),
    now: datetime | None = None,
) -> Series:
    """A set more on ``day``, by ``settings`` of a series: kind, hours, crosses, rules.

    Raises NotAllowed, PlanChanged, InvalidEntry for one that would have opened
    already or on a day off.
    """
    now = now or timezone.now()
    with planning_week(by, seen, now):
        replanning.require_day_to_plan(day, clock.local_date(now, by.club.zone))
        if DayOff.objects.filter(club=by.club, day=day).exists():
            raise InvalidEntry(
                _("That day is a day off. Take the day off back first."), field="opens"
            )
        made = services.start_series(
            by=by,
            settings={**settings, "weekdays": [day.weekday()]},
            begins_on=day,
            groups=groups,
            now=now,
        )
        made.only_on = day
        made.save(update_fields=["only_on"])
        for one in occurrences.of_series(made, day, day):
            _require_later(one.window, now)
    return made


def leave_out(
    *, by: Membership, seen: Seen, series_id: int, day: date, now: datetime | None = None
) -> None:
    """Let one series have no set on a day. One of that day alone is gone then.

    Raises NotAllowed, PlanChanged, NoLongerPossible for a set that has opened.
    """
    now = now or timezone.now()
    with planning_week(by, seen, now) as found:
        one = _to_come(found, series_id, day, now)
        assert one.series is not None
        withdraw_sealed(club=by.club, now=now, day=day, series=one.series)
        if one.series.only_on is not None:
            one.series.delete()
            return
        OtherDay.objects.update_or_create(
            series=one.series,
            day=one.of_day,
            defaults={"held_on": None, "opens": None, "closes": None},
        )


def move(
    *,
    by: Membership,
    seen: Seen,
    series_id: int,
    day: date,
    to_day: date,
    opens: time,
    closes: time,
    now: datetime | None = None,
) -> None:
    """Hold a series' set of ``day`` on another day or at another time.

    Raises NotAllowed, PlanChanged, NoLongerPossible for a set that has opened, and
    InvalidEntry for a day on which the series has its set already or none can be.
    """
    now = now or timezone.now()
    with planning_week(by, seen, now) as found:
        one = _to_come(found, series_id, day, now)
        series = one.series
        assert series is not None
        replanning.require_day_to_plan(to_day, clock.local_date(now, by.club.zone), field="to_day")
        require_in_reach(to_day, "to_day")
        if to_day != day and _has_set(series, to_day):
            raise InvalidEntry(
                _("This series has a set on that day already. Choose another day."), field="to_day"
            )
        if DayOff.objects.filter(club=by.club, day=to_day).exists():
            raise InvalidEntry(
                _("That day is a day off. Take the day off back first."), field="to_day"
            )
        window = clock.window_of_day(to_day, opens, closes, by.club.zone, series.days_later)
        _require_later(window, now)
        withdraw_sealed(club=by.club, now=now, day=day, series=series)
        if series.only_on is not None:
            series.only_on, series.opens, series.closes = to_day, opens, closes
            series.begins_on = min(to_day, series.begins_on or to_day)
            series.save(update_fields=["only_on", "opens", "closes", "begins_on"])
            return
        OtherDay.objects.update_or_create(
            series=series,
            day=one.of_day,
            defaults={"held_on": to_day, "opens": opens, "closes": closes},
        )


def put_back(
    *, by: Membership, seen: Seen, series_id: int, day: date, now: datetime | None = None
) -> None:
    """Let a day of a series go by its rule again. Raises NotAllowed, PlanChanged, InvalidEntry."""
    now = now or timezone.now()
    with planning_week(by, seen, now):
        other = (
            OtherDay.objects.filter(series__club=by.club_id, series=series_id, day=day)
            .select_related("series")
            .first()
        )
        if other is None:
            raise InvalidEntry(_("That day goes by the rule of its series already."))
        if other.held_on is not None:
            there = ScrambleSet.objects.filter(series=series_id, day=other.held_on).first()
            replanning.require_replannable(there, now)
            withdraw_sealed(club=by.club, now=now, day=other.held_on, series=other.series)
        replanning.require_day_to_plan(day, clock.local_date(now, by.club.zone))
        if other.held_on != day and _has_set(other.series, day):
            raise InvalidEntry(
                _("This series has another set on that day. Move that one first."), field="day"
            )
        other.delete()


def day_off(
    *, by: Membership, seen: Seen, day: date, reason: str = "", now: datetime | None = None
) -> None:
    """A day without any set, as long as none of that day has opened.

    Raises NotAllowed, PlanChanged, InvalidEntry, NoLongerPossible.
    """
    now = now or timezone.now()
    with planning_week(by, seen, now):
        _take_off(by.club, {day}, require_storable(reason, "reason"), now)


def day_on(*, by: Membership, seen: Seen, day: date, now: datetime | None = None) -> None:
    """Take a day off back. Raises NotAllowed, PlanChanged."""
    now = now or timezone.now()
    with planning_week(by, seen, now):
        DayOff.objects.filter(club=by.club, day=day).delete()


def holidays(
    *,
    by: Membership,
    days: Collection[date],
    reason: str = "",
    now: datetime | None = None,
) -> int:
    """Note many days off at once. Returns how many are new. Raises NotAllowed, InvalidEntry."""
    now = now or timezone.now()
    require_holidays(by=by, days=days, now=now)
    with transaction.atomic():
        club = Club.objects.select_for_update().get(pk=by.club_id)
        made = _take_off(club, set(days), require_storable(reason, "reason"), now)
        dispatch.ask_for_drawing_after_commit()
    return made


def require_holidays(
    *, by: Membership, days: Collection[date], now: datetime | None = None
) -> None:
    """Raise what :func:`holidays` would raise for these days, and store nothing."""
    rights.require_coach(by)
    if not 0 < len(days) <= MOST_HOLIDAYS:
        raise InvalidEntry(
            _("Between 1 and {most} days are noted at once.").format(most=MOST_HOLIDAYS),
            field="text",
        )
    _require_free(by.club, set(days), now or timezone.now())


def _take_off(club: Club, days: set[date], reason: str, now: datetime) -> int:
    _require_free(club, days, now)
    there = set(DayOff.objects.filter(club=club, day__in=days).values_list("day", flat=True))
    DayOff.objects.bulk_create(
        DayOff(club=club, day=day, reason=reason[:80]) for day in sorted(days - there)
    )
    for day in days:
        withdraw_sealed(club=club, now=now, day=day)
    return len(days - there)


def _require_free(club: Club, days: set[date], now: datetime) -> None:
    today = clock.local_date(now, club.zone)
    for day in sorted(days):
        require_in_reach(day, "text")
        replanning.require_day_to_plan(day, today, field="text")
    sets = ScrambleSet.objects.of_club(club).issued().filter(day__in=days, taken_out=False)
    for one in sets.opened(now).not_closed(now):
        replanning.require_replannable(one, now)


def _to_come(found: PlannedWeek, series_id: int, day: date, now: datetime) -> PlannedSet:
    one = planning.planned(found, series_id, day)
    if one is None:
        opened = ScrambleSet.objects.filter(series=series_id, day=day).first()
        replanning.require_replannable(opened, now)
        raise InvalidEntry(_("This series has no set on that day."))
    return one


def _has_set(series: Series, day: date) -> bool:
    return bool(occurrences.of_series(series, day, day))


def _require_later(window: clock.Window, now: datetime) -> None:
    if window.opens_at <= now:
        raise InvalidEntry(
            _("By that time it would be open already. Choose a later one."), field="opens"
        )
