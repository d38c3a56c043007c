"""A member's plans by date: one's own, and any member's for a coach."""

from __future__ import annotations

from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.models import Membership
from training.selectors import plans as selectors
from training.selectors.clubs import membership_in
from training.selectors.earlier import sets_of_member
from training.visibility import require_review
from training.web.admission import coach, member, right_now
from training.web.pages.my_plans.shown import SETS_A_PAGE, show_member_plans, show_my_plans
from training.web.query import day_asked, number_asked


@require_safe
@member
def my_plans(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """A page of own sets, each with its scrambles and what their plans were worth."""
    now = right_now()
    start = _start(request, viewer, now)
    shown = show_my_plans(
        viewer,
        selectors.own_sets(viewer, now, start=start, count=SETS_A_PAGE),
        now,
        start=start,
        there_are=selectors.own_set_count(viewer, now),
    )
    return render(request, "pages/my_plans/my_plans.html", {"shown": shown})


@require_safe
@coach
def of_member(request: HttpRequest, viewer: Membership, membership_id: int) -> HttpResponse:
    """The same of one member, read by a coach."""
    now = right_now()
    whose = require_review(viewer, membership_in(viewer.club, membership_id))
    start = _start(request, whose, now)
    shown = show_member_plans(
        viewer,
        whose,
        sets_of_member(viewer, whose, now, start=start, count=SETS_A_PAGE),
        now,
        start=start,
        there_are=selectors.own_set_count(whose, now),
    )
    return render(request, "pages/my_plans/my_plans.html", {"shown": shown})


def _start(request: HttpRequest, whose: Membership, now: datetime) -> int:
    """Where the page begins: at a date that is asked for, else at a number of sets."""
    day = day_asked(request, "day")
    if day is not None:
        return selectors.sets_opened_after(whose, day, now)
    return number_asked(request, "from")
