"""The club's log, for its owners."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.models import Membership
from training.selectors.deeds import club_log
from training.web.admission import owner, right_now
from training.web.pages.log.shown import LINES_A_PAGE, show_log
from training.web.query import number_asked


@require_safe
@owner
def log(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Who did what to whom, newest first."""
    start = number_asked(request, "from")
    found = club_log(viewer, start=start, count=LINES_A_PAGE)
    shown = show_log(viewer, found, right_now(), start=start)
    return render(request, "pages/log/log.html", {"shown": shown})
