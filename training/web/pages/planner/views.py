"""The planner: a week, a set more, a set of a day, last week once more, holidays."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from training import clock, foresight
from training.models import Membership, Series
from training.refusals import Refusal
from training.selectors import clubs, planning
from training.selectors.planning import PlannedWeek
from training.services import copied_weeks
from training.services import planning as services
from training.services.planning import Seen
from training.visibility import Sealed
from training.web.admission import coach, right_now
from training.web.pages.planner import forms as asked
from training.web.pages.planner import shown
from training.web.pages.planner.one_day import show_add, show_day_page, show_set
from training.web.parts.rules_of_one import rules_of_club


@require_safe
@coach
def week(request: HttpRequest, viewer: Membership, day: date | None = None) -> HttpResponse:
    """See a week: this one, or that of ``day``."""
    now = right_now()
    monday = clock.week_of(day or clock.local_date(now, viewer.club.zone))
    if not clock.is_in_reach(monday):
        raise Sealed
    found = planning.week(viewer, monday, now)
    told = foresight.sees_sealed_plan(viewer)
    context = {"shown": shown.show_week(viewer, found, now, told=told)}
    return render(request, "pages/planner/week.html", context)


def _week(viewer: Membership, day: date) -> PlannedWeek:
    if not clock.is_in_reach(day):
        raise Sealed
    return planning.week(viewer, clock.week_of(day), right_now())


def _seen(request: HttpRequest, monday: date) -> Seen:
    return Seen(monday, request.POST.get("version", ""))


def _back(viewer: Membership, day: date) -> HttpResponse:
    return HttpResponseRedirect(shown.address(viewer, "planner_week", clock.week_of(day)))


def _refuse(form: forms.BaseForm, refusal: Refusal) -> int:
    form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
    return refusal.status


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def add(request: HttpRequest, viewer: Membership, day: date) -> HttpResponse:
    """A set more on a day, or none on it at all."""
    found = _week(viewer, day)
    doing = request.POST.get("do", "")
    form = asked.SetForm(
        request.POST if doing in {"look", "keep"} else None,
        instance=Series(
            club=viewer.club, colours=viewer.club.colours, **rules_of_club(viewer.club)
        ),
        viewer=viewer,
    )
    off = asked.DayOffReason(request.POST if doing == "off" else None)
    status, preview = 200, ""
    if request.method == "POST":
        status = 400
        seen = _seen(request, found.monday)
        try:
            if doing == "off" and off.is_valid():
                services.day_off(by=viewer, seen=seen, day=day, **off.cleaned_data)
                messages.success(request, _("Noted: no set on that day."))
                return _back(viewer, day)
            if doing == "on":
                services.day_on(by=viewer, seen=seen, day=day)
                messages.success(request, _("That day has its sets again."))
                return _back(viewer, day)
            if doing in {"look", "keep"} and form.is_valid():
                if doing == "look":
                    rules, entered = form.rules_for(viewer), form.cleaned_data
                    status, preview = 200, show_add(viewer, day, entered, rules, right_now())
                else:
                    services.add_set(
                        by=viewer,
                        seen=seen,
                        day=day,
                        settings=form.settings_of(viewer),
                        groups=form.cleaned_data.get("groups") or (),
                    )
                    messages.success(request, _("Planned."))
                    return _back(viewer, day)
        except Refusal as refusal:
            wrong = off if doing in {"off", "on"} else form
            if doing == "on":
                off = wrong = asked.DayOffReason({})
                off.is_valid()
            status = _refuse(wrong, refusal)
            found = _week(viewer, day)
    context = {
        "form": form,
        "off": off,
        "wrong": off if off.is_bound else form,
        "preview": preview,
        "shown": show_day_page(viewer, found, day, right_now()),
    }
    return render(request, "pages/planner/day.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def one_set(request: HttpRequest, viewer: Membership, day: date, series_id: int) -> HttpResponse:
    """A series' set of a day: hold it at another time, leave it out, put it back."""
    series = clubs.one_series(viewer.club, series_id)
    if series is None:
        raise Sealed
    found = _week(viewer, day)
    now = right_now()
    there = show_set(viewer, found, series, day, now)
    doing = request.POST.get("do", "")
    form = asked.MoveForm(
        request.POST if doing in {"look", "move"} else None, initial=there.initial
    )
    status, preview = 200, ""
    if request.method == "POST":
        status = 400
        known: dict[str, Any] = {
            "by": viewer,
            "seen": _seen(request, found.monday),
            "series_id": series_id,
            "day": day,
        }
        acts: dict[str, tuple[Callable[..., None], str]] = {
            "leave_out": (services.leave_out, _("Left out.")),
            "put_back": (services.put_back, _("It goes by its rule again.")),
        }
        try:
            if doing in acts:
                act, said = acts[doing]
                act(**known)
                messages.success(request, said)
                return _back(viewer, day)
            if doing in {"look", "move"} and form.is_valid():
                if doing == "look":
                    status, preview = 200, there.moved_in_words(form.cleaned_data, now)
                else:
                    services.move(**known, **form.cleaned_data)
                    messages.success(request, _("Moved."))
                    return _back(viewer, form.cleaned_data["to_day"])
        except Refusal as refusal:
            if not form.is_bound:
                form = asked.MoveForm(there.initial)
                form.is_valid()
            status = _refuse(form, refusal)
            found = _week(viewer, day)
            there = show_set(viewer, found, series, day, now)
    context = {"form": form, "preview": preview, "shown": there}
    return render(request, "pages/planner/set.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def copy(request: HttpRequest, viewer: Membership, day: date) -> HttpResponse:
    """Do once more what was done by hand in the week before."""
    found = _week(viewer, day)
    now = right_now()
    form = forms.Form(request.POST or None)
    status = 200
    if request.method == "POST" and form.is_valid():
        try:
            copied_weeks.copy_last_week(by=viewer, seen=_seen(request, found.monday))
        except Refusal as refusal:
            status = _refuse(form, refusal)
            found = _week(viewer, day)
        else:
            messages.success(request, _("Copied."))
            return _back(viewer, day)
    today = clock.local_date(now, viewer.club.zone)
    copied = copied_weeks.to_copy(by=viewer, monday=found.monday, now=now)
    context = {
        "form": form,
        "lines": shown.copied_in_words(copied, today),
        "shown": show_day_page(viewer, found, found.monday, now),
    }
    return render(request, "pages/planner/copy.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def holidays(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Note a term's days off at once: read back before anything is stored."""
    form = asked.HolidaysForm(request.POST or None)
    status = 200
    days: tuple[str, ...] = ()
    if request.method == "POST":
        status = 400
        if form.is_valid():
            entered = form.cleaned_data
            try:
                if request.POST.get("do") == "keep":
                    noted = services.holidays(
                        by=viewer, days=entered["text"], reason=entered["reason"]
                    )
                    messages.success(request, shown.noted_in_words(noted))
                    return _back(viewer, entered["text"][0])
                status = 200
                today = clock.local_date(right_now(), viewer.club.zone)
                services.require_holidays(by=viewer, days=entered["text"])
                days = shown.days_in_words(entered["text"], today)
            except Refusal as refusal:
                status = _refuse(form, refusal)
    context = {"form": form, "days": days}
    return render(request, "pages/planner/holidays.html", context, status=status)
