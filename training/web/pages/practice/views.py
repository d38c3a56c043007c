"""A member's own short practice."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from training import clock
from training.models import Membership
from training.selectors.practice import DueLine, PracticeView, practice_of
from training.services.practice import prepare
from training.web.admission import member, right_now
from training.web.parts.set_cards import show_set
from training.web.saying.counting import listed
from training.web.saying.ideas import idea_name
from training.web.saying.times import say_day


@dataclass(frozen=True, slots=True)
class DueShown:
    """A technique that comes back, and the day it does."""

    idea: str
    day: str


@require_http_methods(["GET", "HEAD", "POST"])
@member
def practice(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """Today's practice; the button begins it."""
    address = reverse("practice", args=[viewer.club.slug])
    if request.method == "POST":
        prepare(membership=viewer, now=right_now())
        return HttpResponseRedirect(address)
    view = practice_of(viewer, right_now())
    facts = {
        "shown": show_set(viewer, view.today, right_now()) if view.today else None,
        "view": view,
        "about": _about(view),
        "later": [_due(one, viewer) for one in view.due_later],
        "address": address,
    }
    return render(request, "pages/practice/practice.html", facts)


def _about(view: PracticeView) -> str:
    """What today's practice is about, in one sentence."""
    if not view.codes:
        return "Nothing is due: two crosses as they come."
    return f"It calls for {listed([idea_name(code) for code in view.codes])}."


def _due(one: DueLine, viewer: Membership) -> DueShown:
    today = clock.local_date(right_now(), viewer.club.zone)
    return DueShown(idea=idea_name(one.code), day=say_day(one.due_on, today))
