"""Where a lesson leads: to itself with names, to the review, each for the same group."""

from __future__ import annotations

from typing import TypedDict
from urllib.parse import urlencode

from django.urls import reverse

from training.models import Membership


class LessonAddresses(TypedDict):
    """What both pages of lessons have. ``everybody_href`` is empty where it is everybody's."""

    here: str
    names_href: str
    review_href: str
    everybody_href: str
    group: str


def addresses(viewer: Membership, code: str, group: str) -> LessonAddresses:
    """Of a lesson whose evidence are the plans of a group; empty: everybody's."""
    lesson = reverse("lesson", args=[viewer.club.slug, code])
    review = reverse("coach_review", args=[viewer.club.slug])
    kept = f"?{urlencode({'group': group})}" if group else ""
    return {
        "here": f"{lesson}{kept}",
        "names_href": f"{lesson}{kept}&names=1" if kept else f"{lesson}?names=1",
        "review_href": f"{review}{kept}",
        "everybody_href": lesson if group else "",
        "group": group,
    }
