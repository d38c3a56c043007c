"""A member's own short practice."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from training.models import Membership
from training.selectors.practice import practice_of
from training.services.practice import go_on, prepare
from training.web.admission import member, right_now
from training.web.pages.practice.shown import show_practice


@require_http_methods(["GET", "HEAD", "POST"])
@member
def practice(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Today's practice; one button begins it, another lets it go on."""
    now = right_now()
    if request.method == "POST":
        do = go_on if request.POST.get("do") == "go_on" else prepare
        do(membership=viewer, now=now)
        return HttpResponseRedirect(request.path)
    shown = show_practice(viewer, practice_of(viewer, now), now)
    return render(request, "pages/practice/practice.html", {"shown": shown})
