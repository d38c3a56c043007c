"""The table of a day, of a week, of all time."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from training import clock
from training.models import Membership
from training.selectors import plans, tables
from training.selectors.earlier import sets_around
from training.selectors.timed_plans import timed_plans
from training.web.admission import member, right_now
from training.web.pages.table.level import own_level, own_mean
from training.web.pages.table.shown import (
    TableShown,
    show_all_time,
    show_day,
    show_set,
    show_week,
)
from training.web.pages.table.timed import timed_line
from training.web.pages.table.whose import OWN_SETS
from training.web.parts.whose_table import WhoseTable, whose_table
from training.web.query import whole_number


@require_safe
@member
def latest(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The table that a member means by "the table": the newest that is open to them."""
    now = right_now()
    for view in plans.sets_now(viewer, now):
        if view.table_open and not view.head.groups and not view.head.of_member:
            return _to_day(viewer, view.head.closing_day)
    last = plans.last_closed(viewer, now)
    today = clock.local_date(now, viewer.club.zone)
    return _to_day(viewer, last.head.closing_day if last else today)


def _to_day(viewer: Membership, day: date) -> HttpResponse:
    return HttpResponseRedirect(reverse("table_day", args=[viewer.club.slug, day]))


@require_safe
@member
def day(request: HttpRequest, viewer: Membership, day: date) -> HttpResponse:
    """The sets that closed, or will close, on one day."""
    now = right_now()
    whose = _whose(request, viewer, now)
    table = tables.day_table(viewer, day, now, of=whose.asked)
    around = tables.days_around(viewer, day, now, of=whose.asked)
    shown = _with_timed(show_day(viewer, table, day, around, now, whose), table)
    return _page(request, replace(shown, level=own_level(viewer, table, day, now)))


@require_safe
@member
def one_set(request: HttpRequest, viewer: Membership, set_id: int) -> HttpResponse:
    """One set alone: homework, a club night, any other that has a table of its own."""
    now = right_now()
    view = plans.set_for(viewer, set_id, now)
    table = tables.set_table(viewer, set_id, now)
    around = sets_around(viewer, view.head, now)
    shown = show_set(viewer, table, view.head, around, now, challenge_id=view.challenge_id)
    return _page(request, _with_timed(shown, table))


@require_safe
@member
def week(request: HttpRequest, viewer: Membership, day: date) -> HttpResponse:
    """The sets of the week, Monday to Sunday, of a date."""
    now, monday = right_now(), clock.week_of(day)
    whose = _whose(request, viewer, now)
    table = tables.week_table(viewer, monday, now, of=whose.asked)
    shown = _with_timed(show_week(viewer, table, monday, now, whose), table)
    level = own_level(viewer, table, monday, now)
    return _page(request, replace(shown, level=level, place=own_mean(table)))


@require_safe
@member
def all_time(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Everybody by the mean over the sets that count for them."""
    now = right_now()
    whose = _whose(request, viewer, now)
    table = tables.all_time_table(viewer, now, of=whose.asked)
    shown = show_all_time(viewer, table, now, whose)
    return _page(request, replace(shown, place=own_mean(table)))


def _whose(request: HttpRequest, viewer: Membership, now: datetime) -> WhoseTable:
    number = whole_number(request.GET.get("group", ""))
    return whose_table(viewer, number, now, own_sets=request.GET.get("sets") == OWN_SETS)


def _with_timed(shown: TableShown, table: tables.Table) -> TableShown:
    """With the list of timed plans alone, where there are any."""
    return replace(shown, timed=tuple(timed_line(one) for one in timed_plans(table)))


def _page(request: HttpRequest, shown: TableShown) -> HttpResponse:
    return render(request, "pages/table/table.html", {"shown": shown})
