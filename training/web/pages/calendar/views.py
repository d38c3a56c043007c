"""The calendar: its secret address, the file behind it, what to copy for the club's chat."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import translation
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from training import visibility
from training.models import Membership
from training.selectors import calendar_events
from training.selectors.clubs import language_for
from training.selectors.still_to_come import open_sets
from training.services import feeds
from training.services.phrases import digest
from training.web.admission import member, right_now
from training.web.pages.calendar.icalendar_file import as_file
from training.web.pages.calendar.shown import show_calendar, still_to_come


@require_http_methods(["GET", "HEAD", "POST"])
@member
@never_cache
def calendar(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Make, renew or take back the address; a coach finds the lines for the chat here too."""
    address = ""
    doing = request.POST.get("do", "")
    if doing == "make":
        token = feeds.make_address(membership=viewer)
        address = request.build_absolute_uri(reverse("calendar_file", args=[token]))
    elif doing == "take_back":
        if feeds.take_address_back(membership=viewer):
            messages.success(request, _("The address no longer works."))
        return HttpResponseRedirect(request.path)
    now = right_now()
    made_at = calendar_events.address_made_at(viewer)
    page = request.build_absolute_uri(reverse("today", args=[viewer.club.slug]))
    sets = open_sets(viewer, now) if visibility.sees_group(viewer) else ()
    context = {
        "shown": show_calendar(viewer, made_at, address, now),
        "chat": still_to_come(viewer, sets, page, now),
        "coaches": visibility.sees_group(viewer),
    }
    return render(request, "pages/calendar/calendar.html", context)


@require_safe
@never_cache
def calendar_file(request: HttpRequest, token: str) -> HttpResponse:
    """What a calendar program reads; for whoever has the address, and nobody signs in for it."""
    viewer = calendar_events.of_address(digest(token))
    if viewer is None:
        raise Http404
    now = right_now()
    page = request.build_absolute_uri(reverse("today", args=[viewer.club.slug]))
    found = calendar_events.calendar_of(viewer, now)
    with translation.override(language_for(viewer.person, viewer.club.slug) or None):
        answer = HttpResponse(
            as_file(found, page, now), content_type="text/calendar; charset=utf-8"
        )
    answer["Content-Disposition"] = 'inline; filename="club.ics"'
    answer["X-Robots-Tag"] = "noindex"
    return answer
