"""My plans: every set since joining, newest first."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.models import Membership
from training.selectors import plans as selectors
from training.web.admission import member, right_now
from training.web.pages.my_plans.shown import SETS_A_PAGE, show_my_plans
from training.web.query import number_asked


@require_safe
@member
def my_plans(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """A page of own sets, each with its scrambles and what their plans were worth."""
    now = right_now()
    start = number_asked(request, "from")
    shown = show_my_plans(
        viewer,
        selectors.own_sets(viewer, now, start=start, count=SETS_A_PAGE),
        now,
        start=start,
        there_are=selectors.own_set_count(viewer, now),
    )
    return render(request, "pages/my_plans/my_plans.html", {"shown": shown})
