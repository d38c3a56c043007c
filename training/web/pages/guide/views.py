"""Guides: for members, for coaches, for parents. Open to everybody, as the key is."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.visibility import sees_group
from training.web.navigation import viewer_of
from training.web.pages.guide.for_coaches import guide_for_coaches
from training.web.pages.guide.for_members import guide_for_members
from training.web.pages.guide.for_parents import guide_for_parents
from training.web.pages.guide.shown import GuideShown


@require_safe
def for_members(request: HttpRequest) -> HttpResponse:
    """What a cross is, how to plan one, each idea with an example."""
    return _page(request, guide_for_members())


@require_safe
def for_coaches(request: HttpRequest) -> HttpResponse:
    """A week of the club; to a coach of one each job leads to its page."""
    viewer = viewer_of(request)
    opens = viewer is not None and sees_group(viewer)
    return _page(request, guide_for_coaches(opens_pages=opens))


@require_safe
def for_parents(request: HttpRequest) -> HttpResponse:
    """What is kept, who sees it, what is agreed to; hands and screens."""
    return _page(request, guide_for_parents())


def _page(request: HttpRequest, shown: GuideShown) -> HttpResponse:
    return render(request, "pages/guide/guide.html", {"shown": shown})
