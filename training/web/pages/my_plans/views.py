"""A member's plans by month: one's own, and any member's for a coach."""

from __future__ import annotations

from datetime import date

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.models import Membership
from training.selectors.clubs import membership_in
from training.selectors.earlier import sets_of_member
from training.selectors.own_months import month_of_sets
from training.selectors.plans import own_sets_of_month
from training.visibility import require_review
from training.web.admission import coach, member, right_now
from training.web.pages.my_plans.shown import show_member_plans, show_my_plans
from training.web.query import day_asked, month_asked


@require_safe
@member
def my_plans(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """A month of own sets, each with its scrambles and what their plans were worth."""
    now = right_now()
    month = month_of_sets(viewer, now, _month(request))
    shown = show_my_plans(viewer, month, own_sets_of_month(viewer, month, now), now)
    return render(request, "pages/my_plans/my_plans.html", {"shown": shown})


@require_safe
@coach
def of_member(request: HttpRequest, viewer: Membership, membership_id: int) -> HttpResponse:
    """The same of one member, read by a coach."""
    now = right_now()
    whose = require_review(viewer, membership_in(viewer.club, membership_id))
    month = month_of_sets(whose, now, _month(request))
    found = sets_of_member(viewer, whose, now, month)
    shown = show_member_plans(viewer, whose, month, found, now)
    return render(request, "pages/my_plans/my_plans.html", {"shown": shown})


def _month(request: HttpRequest) -> date | None:
    """The month that is asked for; of a day, as addresses were before, its month."""
    return month_asked(request, "month") or day_asked(request, "day")
