"""The coach's day, and one plan read by a coach."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.models import Membership
from training.selectors import coach as selectors
from training.selectors.group_reviews import group_review
from training.web.admission import coach, right_now
from training.web.pages.coach_day.shown import first_need, show_causes, show_day, show_overview

LIVE = "live"


@require_safe
@coach
def overview(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Today's hand-ins as they come in, who is missing, and the week's moves lost."""
    now = right_now()
    found = selectors.overview(viewer, now)
    facts: dict[str, Any] = {"overview": show_overview(viewer, found, now)}
    # The page asks for itself every few seconds; what it takes in then has none of the review.
    if request.GET.get("part") != LIVE:
        review = group_review(viewer, now)
        facts["causes"] = show_causes(viewer, found, review)
        facts["first_need"] = first_need(viewer, review)
    return render(request, "pages/coach_day/coach_day.html", facts)


@require_safe
@coach
def one_set(request: HttpRequest, viewer: Membership, set_id: int) -> HttpResponse:
    """Everybody's plans of one set, an earlier one for example."""
    now = right_now()
    facts = {"day": show_day(viewer, selectors.set_overview(viewer, set_id, now), now)}
    return render(request, "pages/coach_day/coach_set.html", facts)
