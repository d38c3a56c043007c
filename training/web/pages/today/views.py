"""The sets that are open now, their scrambles as cards."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.models import Membership
from training.selectors import challenges, plans
from training.web.admission import member, right_now
from training.web.pages.today.shown import show_today


@require_safe
@member
def today(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The sets that are open now; on a day without one, the last."""
    now = right_now()
    open_sets = plans.sets_now(viewer, now)
    last = None if open_sets else plans.last_closed(viewer, now)
    context = {"shown": show_today(viewer, open_sets, last, challenges.running(viewer, now), now)}
    return render(request, "pages/today/today.html", context)
