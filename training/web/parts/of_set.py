"""Where a scramble belongs: its set, its number, and where its page leads on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from training.models import Membership
from training.selectors.plans import ScrambleView, SetView
from training.web.saying.sets import SetLine, set_line


@dataclass(frozen=True, slots=True)
class OfSet:
    """What ``parts/of_set.html`` needs; ``next_href`` is empty when no other cross is to plan.

    ``handed_in``: the id of a scramble whose plan is in, so that a browser forgets what was typed;
    0 for another.
    """

    line: SetLine
    number: int
    count: int
    here: str
    set_href: str
    next_number: int
    next_href: str
    handed_in: int = 0


def of_set(viewer: Membership, view: SetView, one: ScrambleView, now: datetime) -> OfSet:
    """Say what every page of a scramble has at its top."""
    slug, set_id = viewer.club.slug, view.head.id
    following = next((s.number for s in view.to_plan if s.number != one.number), 0)
    return OfSet(
        line=set_line(view.head, now, viewer.club.zone),
        number=one.number,
        count=len(view.scrambles),
        here=reverse("scramble", args=[slug, set_id, one.number]),
        set_href=reverse("set", args=[slug, set_id]),
        next_number=following,
        next_href=reverse("scramble", args=[slug, set_id, following]) if following else "",
        handed_in=one.id if one.plan is not None else 0,
    )
