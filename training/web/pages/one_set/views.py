"""One set of the club that has opened."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.refusals import Refusal
from training.selectors import plans
from training.selectors.earlier import afterwards_of
from training.services.afterwards import plan_afterwards
from training.web.admission import member, right_now
from training.web.pages.one_set.shown import show_one


@require_http_methods(["GET", "HEAD", "POST"])
@member
def one_set(request: HttpRequest, viewer: Membership, set_id: int) -> HttpResponse:
    """Its scrambles as cards; a closed set too, which a POST lets the viewer plan again."""
    now, status = right_now(), 200
    if request.method == "POST":
        row = plans.set_row(viewer, set_id, now)
        try:
            own = plan_afterwards(membership=viewer, scramble_set=row, now=now)
            return HttpResponseRedirect(reverse("set", args=[viewer.club.slug, own.pk]))
        except Refusal as refusal:
            status = refusal.status
            messages.error(request, refusal.message)
    view = plans.set_for(viewer, set_id, now)
    again = afterwards_of(viewer, [set_id]).get(set_id) if view.head.has_closed else None
    shown = show_one(viewer, view, again, now)
    return render(request, "pages/one_set/one_set.html", {"shown": shown}, status=status)
