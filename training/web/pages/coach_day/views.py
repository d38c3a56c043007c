"""The coach's day, and everybody's plans of one set."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.models import Membership
from training.selectors import challenges
from training.selectors import coach as selectors
from training.selectors.attempts import cubes_that_differ
from training.selectors.earlier import sets_around
from training.selectors.group_reviews import group_review
from training.selectors.improvements import improvements
from training.selectors.questions import waiting_count
from training.web.admission import coach, right_now
from training.web.pages.coach_day.shown import around_links, show_coach_day, show_coach_set

LIVE = "live"


@require_safe
@coach
def overview(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Today's hand-ins as they come in, who is missing, and the week's moves lost."""
    now = right_now()
    found = selectors.overview(viewer, now, by_moves=False)
    # The page asks for itself every few seconds; what it takes in then has none of the review.
    live = request.GET.get("part") == LIVE
    review = None if live else group_review(viewer, now)
    better = () if live else improvements(viewer, now)
    first = min((one.head for one in found.sets), key=lambda head: head.opens_at, default=None)
    before = sets_around(viewer, first, now)[0] if first and not live else None
    shown = show_coach_day(
        viewer,
        found,
        before,
        review,
        better,
        now,
        challenges=challenges.running(viewer, now),
        questions=waiting_count(viewer, now),
        cubes=cubes_that_differ(viewer, [one.head.id for one in found.sets]),
    )
    return render(request, "pages/coach_day/coach_day.html", {"shown": shown})


@require_safe
@coach
def one_set(request: HttpRequest, viewer: Membership, set_id: int) -> HttpResponse:
    """Everybody's plans of one set, an earlier one for example."""
    now = right_now()
    found = selectors.set_overview(viewer, set_id, now)
    shown = show_coach_set(viewer, found, now, cubes_that_differ(viewer, [found.head.id]))
    around = around_links(viewer, sets_around(viewer, found.head, now), now)
    context = {"shown": shown, "around": around}
    return render(request, "pages/coach_day/coach_set.html", context)
