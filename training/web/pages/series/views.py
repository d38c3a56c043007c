"""A series: see and change one, start another, stop one."""

from __future__ import annotations

from copy import copy

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import SERIES_SETTINGS, Membership, Series
from training.refusals import Refusal
from training.selectors import clubs
from training.services import series as services
from training.visibility import Sealed
from training.web.admission import coach, right_now
from training.web.pages.series.forms import SeriesForm
from training.web.pages.series.shown import show_series
from training.web.parts.preview import PreviewShown, show_preview


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def one(request: HttpRequest, viewer: Membership, series_id: int) -> HttpResponse:
    """See, change and stop a series."""
    series = clubs.one_series(viewer.club, series_id)
    if series is None:
        raise Sealed
    doing = request.POST.get("do", "")
    # An own copy: a form that is not valid must not change what the page is about.
    form = SeriesForm(
        request.POST if doing in {"days", "save"} else None, instance=copy(series), viewer=viewer
    )
    if request.method != "POST":
        return _page(request, viewer, form, series)
    try:
        if doing in {"stop", "go_on"}:
            act = services.stop_series if doing == "stop" else services.go_on
            act(by=viewer, series=series)
            messages.success(
                request,
                _("Stopped. A set that is open runs on.")
                if doing == "stop"
                else _("It goes on from today."),
            )
            return HttpResponseRedirect(request.path)
        if form.is_valid():
            changes, groups = form.changed_settings(), form.chosen_groups()
            if doing == "days" and (changes or groups is not None):
                preview = show_preview(series, form.changes(), form.fields, right_now())
                return _page(request, viewer, form, series, preview=preview)
            services.change_series(by=viewer, series=series, changes=changes, groups=groups)
            messages.success(
                request,
                _("Saved. Sets that have not opened are drawn afresh; an open one stays as it is."),
            )
            return HttpResponseRedirect(request.path)
    except Refusal as refusal:
        form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
    return _page(request, viewer, form, series, status=400)


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def new(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Start another series."""
    form = SeriesForm(
        request.POST or None,
        viewer=viewer,
        instance=Series(club=viewer.club),
        initial={"begins_on": request.GET.get("day", "")},
    )
    if request.method != "POST":
        return _page(request, viewer, form, None)
    if form.is_valid():
        entered = form.cleaned_data
        try:
            made = services.start_series(
                by=viewer,
                settings={name: entered[name] for name in SERIES_SETTINGS},
                begins_on=entered["begins_on"],
                groups=entered.get("groups") or (),
            )
        except Refusal as refusal:
            form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
        else:
            messages.success(request, _("Started."))
            return HttpResponseRedirect(reverse("series", args=[viewer.club.slug, made.pk]))
    return _page(request, viewer, form, None, status=400)


def _page(
    request: HttpRequest,
    viewer: Membership,
    form: SeriesForm,
    series: Series | None,
    status: int = 200,
    preview: PreviewShown | None = None,
) -> HttpResponse:
    context = {"form": form, "preview": preview, "shown": show_series(viewer, series)}
    return render(request, "pages/series/series.html", context, status=status)
