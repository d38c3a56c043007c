"""The page of one weekly challenge."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.refusals import Refusal
from training.rights import may_coach
from training.selectors.challenge_views import challenge_view
from training.selectors.challenges import challenge_for
from training.services import challenges, confirming
from training.web.admission import member, right_now
from training.web.pages.challenge.shown import show_challenge
from training.web.parts.whose_table import whose_table
from training.web.query import whole_number


@require_http_methods(["GET", "HEAD", "POST"])
@member
def challenge(request: HttpRequest, viewer: Membership, challenge_id: int) -> HttpResponse:
    """Where it stands and its result; a coach confirms or calls it off by a POST."""
    now, status = right_now(), 200
    if request.method == "POST":
        found = challenge_for(viewer, challenge_id, now)
        if not may_coach(viewer):
            raise PermissionDenied(_("Only a coach of the club may do this."))
        try:
            if request.POST.get("do") == "confirm":
                confirming.confirm(challenge=found, by=viewer, now=now)
                messages.success(request, _("Confirmed. These numbers stand now."))
                return HttpResponseRedirect(request.path)
            if request.POST.get("do") == "call_off":
                challenges.call_off(challenge=found, by=viewer, now=now)
                messages.success(request, _("Called off. Nobody has seen its crosses."))
                return HttpResponseRedirect(reverse("challenges", args=[viewer.club.slug]))
            status = 400
        except Refusal as refusal:
            status = refusal.status
            messages.error(request, refusal.message)
    whose = whose_table(viewer, whole_number(request.GET.get("group", "")), now)
    view = challenge_view(viewer, challenge_id, now, whose.group)
    shown = show_challenge(viewer, view, whose, now)
    return render(request, "pages/challenge/challenge.html", {"shown": shown}, status=status)
