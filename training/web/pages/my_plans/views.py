"""My plans: every set since joining, newest first."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from training import clock
from training.models import Membership
from training.selectors import plans as selectors
from training.web.admission import member, right_now
from training.web.parts.set_cards import cards_of
from training.web.query import number_asked
from training.web.saying.times import say_date

SETS_A_PAGE = 14


@require_safe
@member
def my_plans(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """A page of own sets, each with its scrambles and what their plans were worth."""
    now = right_now()
    start = number_asked(request, "from")
    total = selectors.own_set_count(viewer, now)
    today = clock.local_date(now, viewer.club.zone)
    shown = [
        {
            "day": say_date(view.head.day, today),
            "href": reverse("set", args=[viewer.club.slug, view.head.id]),
            "open": view.head.is_open,
            "cards": cards_of(view, reverse("set", args=[viewer.club.slug, view.head.id])),
        }
        for view in selectors.own_sets(viewer, now, start=start, count=SETS_A_PAGE)
    ]
    facts = {
        "shown": shown,
        "newer": max(start - SETS_A_PAGE, 0) if start else None,
        "older": start + SETS_A_PAGE if start + SETS_A_PAGE < total else None,
    }
    return render(request, "pages/my_plans/my_plans.html", facts)
