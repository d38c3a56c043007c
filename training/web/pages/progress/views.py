"""A member's review: their own, and any member's for a coach."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training import clock
from training.models import Membership
from training.selectors.improvements import improvements
from training.selectors.inspection_times import inspection_times
from training.selectors.own_inspections import inspections_of_exact
from training.selectors.reviews import review_for
from training.web.admission import coach, member, right_now
from training.web.pages.progress.shown import show_progress
from training.web.pages.progress.times import show_times


@require_safe
@member
def own(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """My progress."""
    return _page(request, viewer, viewer.pk)


@require_safe
@coach
def of_member(request: HttpRequest, viewer: Membership, membership_id: int) -> HttpResponse:
    """One member's progress, read by a coach."""
    return _page(request, viewer, membership_id)


def _page(request: HttpRequest, viewer: Membership, membership_id: int) -> HttpResponse:
    now = right_now()
    found = review_for(viewer, membership_id, now)
    timed = (
        inspections_of_exact(viewer, found.membership, found.since, now) if found.strongest else ()
    )
    shown = show_progress(found, improvements(viewer, now), viewer, now, timed)
    times = show_times(
        viewer,
        inspection_times(viewer, found.membership, now),
        clock.local_date(now, viewer.club.zone),
        own=membership_id == viewer.pk,
    )
    context = {"shown": shown, "times": times}
    return render(request, "pages/progress/progress.html", context)
