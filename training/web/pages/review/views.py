"""The group review, on a page and as a table for a spreadsheet."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from training.models import Drawn, Membership
from training.selectors.group_reviews import MOST_SCRAMBLES, WEEKS, GroupReview, group_review
from training.web.admission import coach, right_now
from training.web.pages.review.csv_lines import HEAD, csv_lines
from training.web.pages.review.forms import ReviewFilter
from training.web.pages.review.members import BY_MEMBER, sort_keys
from training.web.pages.review.shown import show_review
from training.web.spreadsheet import csv_response, style_asked


@require_safe
@coach
def review(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """What the group shows, by weeks, group and kind of set; members sorted as asked."""
    asked = _asked(request)
    found = _found(viewer, asked, MOST_SCRAMBLES)
    sort = request.GET.get("sort", "")
    if sort.removeprefix("-") not in sort_keys():
        sort = BY_MEMBER
    context = {
        "filter": ReviewFilter(initial=asked, groups=found.groups),
        "shown": show_review(viewer, found, right_now(), sort=sort, asked=asked),
    }
    return render(request, "pages/review/review.html", context)


@require_safe
@coach
def as_csv(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """All of it, every scramble included."""
    found = _found(viewer, _asked(request), None)
    name = f"review-{viewer.club.slug}-{found.since.isoformat()}.csv"
    return csv_response(name, HEAD, csv_lines(found), style_asked(request))


def _asked(request: HttpRequest) -> dict[str, str]:
    """The filters of the address; what cannot be is as if it had not been asked."""
    form = ReviewFilter(request.GET)
    form.is_valid()
    return {
        "weeks": form.cleaned_data.get("weeks") or str(WEEKS),
        "group": form.cleaned_data.get("group") or "",
        "drawn": form.cleaned_data.get("drawn") or str(Drawn.AS_DRAWN),
    }


def _found(viewer: Membership, asked: dict[str, str], most: int | None) -> GroupReview:
    found = group_review(
        viewer,
        right_now(),
        weeks=int(asked["weeks"]),
        group=asked["group"],
        drawn=asked["drawn"],
        most_scrambles=most,
    )
    if asked["group"] and asked["group"] not in found.groups:
        raise Http404
    return found
