"""A week of the plan laid out: seven days, what falls on each, what differs from the rule."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils.dates import WEEKDAYS, WEEKDAYS_ABBR
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from training import clock
from training.models import Kind, Membership, OtherDay
from training.selectors.planning import LeftOut, PlannedDay, PlannedSet, PlannedWeek
from training.services.copied_weeks import Copied
from training.web.saying.counting import count, listed
from training.web.saying.plans import colour_name
from training.web.saying.series import kind_in_words
from training.web.saying.times import say_date, say_week

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class PlanCard:
    """A set on a day: where it leads, its name, its hours and what else may be told.

    ``kind``: for its frame; ``state``: in words, where it has opened or is taken out.
    """

    href: str
    name: str
    kind: str
    times: str
    told: tuple[str, ...]
    state: str


@dataclass(frozen=True, slots=True)
class WayBack:
    """A set that is left out of a day: in words, and where it is put back."""

    href: str
    said: str


@dataclass(frozen=True, slots=True)
class DayOfPlan:
    """A day of the week. ``add_href``: empty once it is over; ``closing``: what ends on it."""

    short: str
    long: str
    is_today: bool
    off: str
    cards: tuple[PlanCard, ...]
    closing: tuple[str, ...]
    left_out: tuple[WayBack, ...]
    add_href: str


@dataclass(frozen=True, slots=True)
class PlannerShown:
    """What ``pages/planner/week.html`` needs."""

    title: str
    week: str
    before_href: str
    after_href: str
    copy_href: str
    holidays_href: str
    days: tuple[DayOfPlan, ...]
    differs: tuple[str, ...]
    sealed: bool


def show_week(viewer: Membership, found: PlannedWeek, now: datetime, *, told: bool) -> PlannerShown:
    """Lay out a week; ``told``: whether ``viewer`` may know the crosses of sets to come."""
    today = clock.local_date(now, viewer.club.zone)
    return PlannerShown(
        title=_title(found, today),
        week=_("Week {number}, from {monday}").format(
            number=found.monday.isocalendar().week, monday=say_week(found.monday, today)
        ),
        before_href=address(viewer, "planner_week", found.monday - 7 * DAY),
        after_href=address(viewer, "planner_week", found.monday + 7 * DAY),
        copy_href=address(viewer, "planner_copy", found.monday),
        holidays_href=reverse("holidays", args=[viewer.club.slug]),
        days=tuple(show_day(viewer, one, today) for one in found.days),
        differs=tuple(_differs(found, today)),
        sealed=not told,
    )


def address(viewer: Membership, name: str, day: date, *more: int) -> str:
    """The address of a page of the planner about a day."""
    return reverse(name, args=[viewer.club.slug, day, *more])


def _title(found: PlannedWeek, today: date) -> str:
    kinds = Counter(each.kind for one in found.days for each in one.sets)
    what = listed([count(kinds[kind], kind) for kind in Kind.values if kinds[kind]])
    if not what:
        what = _("no sets")
    weeks = (found.monday - clock.week_of(today)).days // 7
    if weeks == 0:
        return _("This week: {sets}").format(sets=what)
    if weeks == 1:
        return _("Next week: {sets}").format(sets=what)
    return _("Week of {monday}: {sets}").format(monday=say_week(found.monday, today), sets=what)


def show_day(viewer: Membership, one: PlannedDay, today: date) -> DayOfPlan:
    """Lay out one day."""
    off = ""
    if one.off is not None:
        reason = one.off.reason
        off = _("Day off: {reason}").format(reason=reason) if reason else _("Day off")
    return DayOfPlan(
        short=f"{WEEKDAYS_ABBR[one.day.weekday()]} {one.day.day}",
        long=say_date(one.day, today),
        is_today=one.day == today,
        off=off,
        cards=tuple(_card(viewer, each, one.day) for each in one.sets),
        closing=tuple(_closing(each, viewer) for each in one.closing),
        left_out=tuple(
            WayBack(address(viewer, "planner_set", each.day, each.series.pk), _left_out(each))
            for each in one.left_out
        ),
        add_href="" if one.is_over else address(viewer, "planner_day", one.day),
    )


def name_of(one: PlannedSet) -> str:
    """Its series' own name, else its kind's."""
    return one.name or kind_in_words(one.kind)


def _card(viewer: Membership, one: PlannedSet, day: date) -> PlanCard:
    state = ""
    if one.taken_out:
        state = _("taken out")
    elif one.set_id is not None:
        state = _("has opened")
    return PlanCard(
        href=_href(viewer, one, day),
        name=name_of(one),
        kind=one.kind,
        times=times_of(one, viewer),
        told=tuple(told_of(one)),
        state=state,
    )


def _href(viewer: Membership, one: PlannedSet, day: date) -> str:
    if one.set_id is not None:
        return reverse("coach_set", args=[viewer.club.slug, one.set_id])
    if one.series is not None:
        return address(viewer, "planner_set", day, one.series.pk)
    return ""


def told_of(one: PlannedSet) -> list[str]:
    """What may be told of a set beside its kind and its hours."""
    said = []
    if one.crosses is not None:
        said.append(
            _("{crosses}, {colours}").format(
                crosses=count(one.crosses.scrambles, "cross"),
                colours=listed([colour_name(each) for each in one.crosses.colours]),
            )
        )
    if one.groups:
        said.append(_("for {groups}").format(groups=listed(one.groups)))
    if one.moved:
        said.append(_("moved"))
    return said


def times_of(one: PlannedSet, viewer: Membership) -> str:
    """When it opens and closes; the day of closing is named unless it is the same night."""
    opens, closes = _clock(one.opens_at, viewer), _clock(one.closes_at, viewer)
    zone = viewer.club.zone
    first = clock.local_date(one.opens_at, zone)
    last = clock.closing_day(one.closes_at, zone)
    if (last - first).days > 1 or (last != first and one.closes_at - one.opens_at > DAY):
        return _("{opens} to {weekday} {closes}").format(
            opens=opens, closes=closes, weekday=WEEKDAYS[last.weekday()]
        )
    if opens == closes == "00:00":
        return _("the whole day")
    return _("{opens} to {closes}").format(opens=opens, closes=closes)


def _closing(one: PlannedSet, viewer: Membership) -> str:
    time = _clock(one.closes_at, viewer)
    if time == "00:00":
        return _("{name} closes at midnight").format(name=name_of(one))
    return _("{name} closes at {time}").format(name=name_of(one), time=time)


def _clock(instant: datetime, viewer: Membership) -> str:
    return f"{instant.astimezone(viewer.club.zone):%H:%M}"


def _left_out(one: LeftOut) -> str:
    name = one.series.name or kind_in_words(one.series.kind)
    if one.held_on is None:
        return _("{name}: left out").format(name=name)
    return _("{name}: moved to {weekday}").format(
        name=name, weekday=WEEKDAYS[one.held_on.weekday()]
    )


def _differs(found: PlannedWeek, today: date) -> list[str]:
    """What of the week is not as the series say, a sentence each."""
    said = []
    for one in found.days:
        day = say_date(one.day, today)
        if one.off is not None:
            said.append(
                _("{day} is a day off: no set, so it costs nobody anything.").format(day=day)
            )
        for each in one.left_out:
            if each.held_on is None:
                name = each.series.name or kind_in_words(each.series.kind)
                said.append(_("{name} of {day}: left out.").format(name=name, day=day))
            else:
                said.append(
                    _("{kind} of {day} is held on {other}.").format(
                        kind=each.series.name or kind_in_words(each.series.kind),
                        day=day,
                        other=say_date(each.held_on, today),
                    )
                )
        for planned in one.sets:
            if planned.series is not None and planned.series.only_on is not None:
                said.append(
                    _("{day} has one set more: {name}.").format(day=day, name=name_of(planned))
                )
    return said


def copied_in_words(copied: Copied, today: date) -> tuple[str, ...]:
    """What copying last week would do, a sentence each."""
    said = [
        _("{day}: {name}, opens at {time}.").format(
            day=say_date(day, today),
            name=one.name or kind_in_words(one.kind),
            time=f"{one.opens:%H:%M}",
        )
        for day, one in copied.sets
    ]
    return (*said, *(_other_in_words(day, one, today) for day, one in copied.others))


def _other_in_words(day: date, one: OtherDay, today: date) -> str:
    name = one.series.name or kind_in_words(one.series.kind)
    if one.held_on is None:
        return _("{day}: {name} is left out.").format(day=say_date(day, today), name=name)
    return _("{name} of {day} is held on {other}.").format(
        name=name, day=say_date(day, today), other=say_date(one.held_on + 7 * DAY, today)
    )


def days_in_words(days: Sequence[date], today: date) -> tuple[str, ...]:
    """Days, those that follow one another as a range."""
    runs: list[list[date]] = []
    for day in days:
        if runs and day - runs[-1][-1] == DAY:
            runs[-1].append(day)
        else:
            runs.append([day])
    return tuple(
        say_date(run[0], today)
        if len(run) == 1
        else _("{first} to {last}, {days}").format(
            first=say_date(run[0], today),
            last=say_date(run[-1], today),
            days=count(len(run), "day"),
        )
        for run in runs
    )


def noted_in_words(number: int) -> str:
    """How many days off were noted."""
    said = ngettext("%(number)d day off is noted.", "%(number)d days off are noted.", number)
    return said % {"number": number}
