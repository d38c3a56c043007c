"""What is new, and the sets that are open now, their scrambles as cards."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training import clock
from training.models import Membership
from training.selectors import challenges, plans
from training.selectors.day_news import day_news
from training.selectors.own_days import own_days
from training.selectors.own_windows import windows_to_come
from training.web.admission import member, right_now
from training.web.pages.today.shown import show_today
from training.web.parts.own_windows import own_window_lines


@require_safe
@member
def today(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The sets that are open now; on a day without one, the last."""
    now = right_now()
    open_sets = plans.sets_now(viewer, now)
    shown = show_today(
        viewer,
        open_sets,
        None if open_sets else plans.last_closed(viewer, now),
        challenges.running(viewer, now),
        day_news(viewer, now),
        own_days(viewer, now, clock.local_date(now, viewer.club.zone)),
        now,
    )
    own_windows = own_window_lines(viewer, windows_to_come(viewer, now), now)
    context = {"shown": shown, "own_windows": own_windows}
    return render(request, "pages/today/today.html", context)
