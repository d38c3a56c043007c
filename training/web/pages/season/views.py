"""One season: its table at any time, the last one confirmed; changing and removing it."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training import clock
from training.challenging import has_begun
from training.models import Membership
from training.refusals import Refusal
from training.rights import may_coach
from training.selectors.seasons import season_for, season_table
from training.services.challenges import change_season, remove_season
from training.services.confirming import confirm_season
from training.web.admission import coach, member, right_now
from training.web.pages.season.shown import show_change, show_season
from training.web.parts.season_form import SeasonForm
from training.web.parts.whose_table import whose_table
from training.web.query import whole_number


@require_http_methods(["GET", "HEAD", "POST"])
@member
def season(request: HttpRequest, viewer: Membership, season_id: int) -> HttpResponse:
    """The table; a coach confirms the last one by a POST."""
    now, status = right_now(), 200
    found = season_for(viewer, season_id)
    if request.method == "POST":
        if not may_coach(viewer):
            raise PermissionDenied(_("Only a coach of the club may do this."))
        try:
            confirm_season(season=found, by=viewer, now=now)
            messages.success(request, _("Confirmed. This table stands now."))
            return HttpResponseRedirect(request.path)
        except Refusal as refusal:
            status = refusal.status
            messages.error(request, refusal.message)
    whose = whose_table(viewer, whole_number(request.GET.get("group", "")), now)
    shown = show_season(viewer, season_table(viewer, found, now, whose.group), whose, now)
    return render(request, "pages/season/season.html", {"shown": shown}, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@coach
def change(request: HttpRequest, viewer: Membership, season_id: int) -> HttpResponse:
    """Change a season, of one that has begun its name alone; remove one that has not."""
    now, status = right_now(), 200
    found = season_for(viewer, season_id)
    begun = has_begun(found, clock.local_date(now, viewer.club.zone))
    sent = request.method == "POST" and "remove" not in request.POST
    form = SeasonForm(request.POST if sent else None, found, begun=begun)
    if request.method == "POST":
        status = 400
        try:
            if not sent:
                remove_season(season=found, by=viewer, now=now)
                messages.success(request, _("Removed. The sets stay."))
                return HttpResponseRedirect(reverse("challenges", args=[viewer.club.slug]))
            if form.is_valid():
                change_season(season=found, by=viewer, now=now, **form.entered(found))
                messages.success(request, _("Saved."))
                return HttpResponseRedirect(reverse("season", args=[viewer.club.slug, season_id]))
        except Refusal as refusal:
            status = refusal.status
            form = form if sent else SeasonForm({}, found, begun=begun)
            form.full_clean()
            form.add_error(refusal.field if refusal.field in form.fields else None, refusal.message)
    context = {"form": form, "shown": show_change(viewer, found, begun=begun)}
    return render(request, "pages/season/change.html", context, status=status)
