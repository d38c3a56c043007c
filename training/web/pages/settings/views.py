"""Settings of a club: zone, colours, who sees what when, its series, days off."""

from __future__ import annotations

from copy import copy
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.refusals import Refusal
from training.services import clubs
from training.web.admission import coach, right_now
from training.web.pages.settings.forms import DayOffForm, SettingsForm
from training.web.pages.settings.shown import days_off, show_series
from training.web.parts.preview import PreviewShown, show_preview


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def settings(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """See and change what holds for the sets of the club."""
    doing = request.POST.get("do", "")
    # An own copy: a form that is not valid must not change the club that the page is about.
    club = copy(viewer.club)
    form = SettingsForm(request.POST if doing in {"days", "save"} else None, instance=club)
    day_off = DayOffForm(request.POST if doing == "day_off" else None)
    if request.method != "POST":
        return _page(request, viewer, form, day_off)
    try:
        if doing == "days" and form.is_valid() and form.changes():
            preview = show_preview(viewer.club, form.changes(), form.fields, right_now())
            return _page(request, viewer, form, day_off, status=200, preview=preview)
        if doing in {"days", "save"} and form.is_valid():
            clubs.change_settings(by=viewer, changes=form.changes())
            said = _(
                "Saved. Sets that have not opened are drawn afresh; an open one stays as it is."
            )
            messages.success(request, said)
            return HttpResponseRedirect(request.path)
        if doing == "day_off" and day_off.is_valid():
            clubs.add_day_off(by=viewer, **day_off.entered())
            messages.success(request, _("Noted: no set on that day."))
            return HttpResponseRedirect(request.path)
        if doing == "remove_day_off":
            gone = DayOffForm({"day": request.POST.get("day", "")})
            if gone.is_valid():
                clubs.remove_day_off(by=viewer, day=gone.cleaned_data["day"])
                messages.success(request, _("That day has a set again."))
            return HttpResponseRedirect(request.path)
    except Refusal as refusal:
        if refusal.field == "open_set":
            day_off = DayOffForm(request.POST, ask=True)
        wrong: Any = form if doing in {"days", "save"} else day_off
        wrong.add_error(refusal.field if refusal.field in wrong.fields else None, refusal.message)
    return _page(request, viewer, form, day_off, status=400)


def _page(
    request: HttpRequest,
    viewer: Membership,
    form: SettingsForm,
    day_off: DayOffForm,
    status: int = 200,
    preview: PreviewShown | None = None,
) -> HttpResponse:
    context = {
        "form": form,
        "day_off": day_off,
        "wrong": day_off if day_off.is_bound else form,
        "series": show_series(viewer),
        "days": days_off(viewer, right_now()),
        "preview": preview,
    }
    return render(request, "pages/settings/settings.html", context, status=status)
