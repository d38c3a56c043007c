"""One day of the plan laid out, one set of it, and what a change would do, in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.models import Membership, Series
from training.rules import SetRules
from training.selectors import planning
from training.selectors.planning import PlannedSet, PlannedWeek
from training.web.pages.planner.shown import DayOfPlan, address, show_day, told_of
from training.web.saying.counting import count
from training.web.saying.series import how_in_words, kind_in_words, lengths_in_words, name_of
from training.web.saying.times import say_date


@dataclass(frozen=True, slots=True)
class DayPageShown:
    """What the pages about a day need: the day as it is now, and the week's version."""

    title: str
    version: str
    week_href: str
    lesson_href: str
    day: DayOfPlan
    is_off: bool
    is_over: bool


def show_day_page(viewer: Membership, found: PlannedWeek, day: date, now: datetime) -> DayPageShown:
    """Lay out the page of a day."""
    today = clock.local_date(now, viewer.club.zone)
    one = next(each for each in found.days if each.day == day)
    return DayPageShown(
        title=say_date(day, today),
        version=found.version,
        week_href=address(viewer, "planner_week", found.monday),
        lesson_href=reverse("coach_review", args=[viewer.club.slug]),
        day=show_day(viewer, one, today),
        is_off=one.off is not None,
        is_over=one.is_over,
    )


def show_add(
    viewer: Membership, day: date, entered: Mapping[str, Any], rules: SetRules, now: datetime
) -> str:
    """What a set more would be, before it is planned: also how it is inspected and held."""
    window = clock.window_of_day(
        day, entered["opens"], entered["closes"], viewer.club.zone, entered["days_later"]
    )
    said = _("{name} with {crosses}: opens on {opens}, closes on {closes}.").format(
        name=entered["name"] or kind_in_words(entered["kind"]),
        crosses=count(entered["scrambles"], "cross"),
        opens=_instant(window.opens_at, viewer, now),
        closes=_instant(window.closes_at, viewer, now),
    )
    lengths = entered["shortest"], entered["longest"]
    return " ".join(
        (
            said,
            *lengths_in_words(None if None in lengths else lengths),
            *how_in_words(rules),
            _("All other sets stay as they are."),
        )
    )


def _instant(instant: datetime, viewer: Membership, now: datetime) -> str:
    zone = viewer.club.zone
    return _("{day} at {time}").format(
        day=say_date(clock.local_date(instant, zone), clock.local_date(now, zone)),
        time=f"{instant.astimezone(zone):%H:%M}",
    )


@dataclass(frozen=True, slots=True)
class PlannedSetShown:
    """What ``pages/planner/set.html`` needs. ``opened_href``: where an opened set is corrected.

    ``may_change``: it can be moved and left out; ``may_put_back``: its day goes
    otherwise than by the rule.
    """

    title: str
    said: str
    version: str
    week_href: str
    series_href: str
    opened_href: str
    may_change: bool
    may_put_back: bool
    once: bool
    day: DayOfPlan
    initial: dict[str, Any]
    viewer: Membership

    def moved_in_words(self, entered: Mapping[str, Any], now: datetime) -> str:
        """What moving it would do, before it is moved."""
        zone = self.viewer.club.zone
        today = clock.local_date(now, zone)
        return _("{name}: opens on {day} at {opens}, closes at {closes}.").format(
            name=self.title,
            day=say_date(entered["to_day"], today),
            opens=f"{entered['opens']:%H:%M}",
            closes=f"{entered['closes']:%H:%M}",
        )


def show_set(
    viewer: Membership, found: PlannedWeek, series: Series, day: date, now: datetime
) -> PlannedSetShown:
    """Lay out the page of a series' set on a day, whether it is there, left out or opened."""
    zone = viewer.club.zone
    today = clock.local_date(now, zone)
    one = planning.planned(found, series.pk, day)
    of_day = next(each for each in found.days if each.day == day)
    left_out = any(each.series.pk == series.pk for each in of_day.left_out)
    opened = next(
        (e.set_id for e in of_day.sets if e.series is not None and e.series.pk == series.pk), None
    )
    slug = viewer.club.slug
    return PlannedSetShown(
        title=name_of(series),
        said=_said(one, left_out, opened is not None, day, today),
        version=found.version,
        week_href=address(viewer, "planner_week", found.monday),
        series_href="" if series.only_on else reverse("series", args=[slug, series.pk]),
        opened_href=reverse("correct_set", args=[slug, opened]) if opened else "",
        may_change=one is not None,
        may_put_back=left_out and one is None and not of_day.is_over,
        once=series.only_on is not None,
        day=show_day(viewer, of_day, today),
        initial={
            "to_day": day,
            "opens": one.opens_at.astimezone(zone).time() if one else series.opens,
            "closes": one.closes_at.astimezone(zone).time() if one else series.closes,
        },
        viewer=viewer,
    )


def _said(one: PlannedSet | None, left_out: bool, opened: bool, day: date, today: date) -> str:
    when = say_date(day, today)
    if one is not None:
        return " · ".join((when, *told_of(one)))
    if opened:
        return _(
            "The set of {day} has opened, so the plan does not change it any more. Under "
            "Corrections it can be taken out, or kept open longer."
        ).format(day=when)
    if left_out:
        return _("{day}: not held, other than its rule says.").format(day=when)
    return _("This series has no set on {day}.").format(day=when)
