"""How the site is, for whoever owns the club: what a program reads at ``/health/``, in words."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.module_loading import import_string
from django.views.decorators.http import require_safe

from training.models import Membership
from training.selectors import health
from training.selectors.health import Surroundings
from training.web.admission import owner, right_now
from training.web.pages.site.shown import show_site


@require_safe
@owner
def site(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """See whether work gets done, what the site stands on, and when it was last copied."""
    now = right_now()
    surroundings: Surroundings = import_string(settings.SURROUNDINGS)()
    shown = show_site(
        viewer,
        health.pulse(now),
        surroundings,
        health.storage(),
        health.agreement(viewer.club, now),
        health.last_verified(),
        now,
    )
    return render(request, "pages/site/site.html", {"shown": shown})
