"""The table of a day, of a week, of all time."""

from __future__ import annotations

from datetime import date, timedelta

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from training import clock
from training.models import Membership
from training.selectors import plans, tables
from training.selectors.table_rows import Table
from training.web.admission import member, right_now
from training.web.pages.table.shown import show_table
from training.web.saying.times import WEEKDAYS, say, say_date


def _today(viewer: Membership) -> date:
    return clock.local_date(right_now(), viewer.club.zone)


@require_safe
@member
def latest(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The table that a member means by "the table": the newest that is open to them."""
    now = right_now()
    for view in plans.sets_now(viewer, now):
        if view.table_open:
            return _to_day(viewer, view.head.closing_day)
    last = plans.last_closed(viewer, now)
    return _to_day(viewer, last.head.closing_day if last else _today(viewer))


def _to_day(viewer: Membership, day: date) -> HttpResponse:
    return HttpResponseRedirect(reverse("table_day", args=[viewer.club.slug, day]))


@require_safe
@member
def day(request: HttpRequest, viewer: Membership, day: date) -> HttpResponse:
    """The sets that closed, or will close, on one day."""
    now, today = right_now(), _today(viewer)
    table = tables.day_table(viewer, day, now)
    before, after = tables.days_around(viewer, day, now)
    said = say_date(day, today)
    if table.sets:
        head = table.sets[-1]
        verb = "closed" if head.has_closed else "closes"
        said += f" · {verb} {say(head.closes_at, now, viewer.club.zone).text}"
    return _page(
        request,
        viewer,
        table,
        "day",
        day,
        title=f"{WEEKDAYS[day.weekday()]}’s table",
        said=said,
        before=("table_day", before, "the day before"),
        after=("table_day", after, "the day after"),
    )


@require_safe
@member
def week(request: HttpRequest, viewer: Membership, day: date) -> HttpResponse:
    """The sets of the week, Monday to Sunday, of a date."""
    monday = clock.week_of(day)
    today = _today(viewer)
    following = monday + timedelta(days=7)
    return _page(
        request,
        viewer,
        tables.week_table(viewer, monday, right_now()),
        "week",
        monday,
        title="The week’s table",
        said=f"{say_date(monday, today)} to {say_date(monday + timedelta(days=6), today)}",
        before=("table_week", monday - timedelta(days=7), "the week before"),
        after=("table_week", following if following <= today else None, "the week after"),
    )


@require_safe
@member
def all_time(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Everybody by the mean over the sets since joining."""
    return _page(
        request,
        viewer,
        tables.all_time_table(viewer, right_now()),
        "all",
        _today(viewer),
        title="The table of all time",
        said="All sets as drawn",
        before=("", None, ""),
        after=("", None, ""),
    )


def _page(
    request: HttpRequest,
    viewer: Membership,
    table: Table,
    period: str,
    anchor: date,
    *,
    title: str,
    said: str,
    before: tuple[str, date | None, str],
    after: tuple[str, date | None, str],
) -> HttpResponse:
    slug = viewer.club.slug
    day_for_tab = anchor if period == "day" else _today(viewer)
    tabs = [
        (
            "Day",
            reverse("table", args=[slug]) if period != "day" else request.path,
            period == "day",
        ),
        ("Week", reverse("table_week", args=[slug, day_for_tab]), period == "week"),
        ("All time", reverse("table_all", args=[slug]), period == "all"),
    ]
    around = [
        (reverse(name, args=[slug, when]), words)
        for name, when, words in (before, after)
        if when is not None
    ]
    facts = {
        "title": title,
        "said": said,
        "table": show_table(table, _today(viewer)),
        "tabs": tabs,
        "around": around,
    }
    return render(request, "pages/table/table.html", facts)
