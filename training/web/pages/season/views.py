"""One season: its table at any time, and the last one confirmed."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.refusals import Refusal
from training.rights import may_coach
from training.selectors.seasons import season_for, season_table
from training.services.confirming import confirm_season
from training.web.admission import member, right_now
from training.web.pages.season.shown import show_season


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
    shown = show_season(viewer, season_table(viewer, found, now), now)
    return render(request, "pages/season/season.html", {"shown": shown}, status=status)
