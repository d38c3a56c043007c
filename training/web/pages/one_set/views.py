"""One set of the club that has opened."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.models import Membership
from training.selectors import plans
from training.web.admission import member, right_now
from training.web.pages.one_set.shown import show_one


@require_safe
@member
def one_set(request: HttpRequest, viewer: Membership, set_id: int) -> HttpResponse:
    """Its scrambles as cards; a closed set too."""
    now = right_now()
    shown = show_one(viewer, plans.set_for(viewer, set_id, now), now)
    return render(request, "pages/one_set/one_set.html", {"shown": shown})
