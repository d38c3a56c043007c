"""Today's sets as cards, and any one set again later."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from training.models import Membership
from training.selectors import plans
from training.selectors.plans import SetView
from training.web.cards import Card, SetLine, cards, set_line
from training.web.doors import member, right_now


@dataclass(frozen=True, slots=True)
class SetShown:
    """A set on a page: its line, its cards, where its table is."""

    id: int
    line: SetLine
    cards: tuple[Card, ...]
    left: int
    said: str
    table: str
    next_href: str
    next_number: int


def show_set(viewer: Membership, view: SetView) -> SetShown:
    """Lay out a set for its member."""
    slug = viewer.club.slug
    shown = cards(view, reverse("set", args=[slug, view.head.id]))
    left = len(view.to_plan)
    following = next((card for card in shown if card.is_next), None)
    if view.head.has_closed:
        said = "This set has closed."
    elif left == 0:
        said = "All your plans are in."
    else:
        said = "1 cross to plan." if left == 1 else f"{left} crosses to plan."
    table = ""
    if view.table_open:
        table = reverse("table_day", args=[slug, view.head.closing_day])
    return SetShown(
        id=view.head.id,
        line=set_line(view.head, right_now(), viewer.club.zone),
        cards=shown,
        left=left,
        said=said,
        table=table,
        next_href=following.href if following else "",
        next_number=following.number if following else 0,
    )


@require_safe
@member
def today(request: HttpRequest, viewer: Membership) -> HttpResponse:
    """The sets that are open now; on a day without one, the last."""
    now = right_now()
    open_sets = plans.sets_now(viewer, now)
    last = None if open_sets else plans.last_closed(viewer, now)
    facts = {
        "sets": [show_set(viewer, one) for one in open_sets],
        "last": show_set(viewer, last) if last else None,
    }
    return render(request, "training/pages/today.html", facts)


@require_safe
@member
def one_set(request: HttpRequest, viewer: Membership, set_id: int) -> HttpResponse:
    """One set of the club that has opened."""
    view = plans.set_for(viewer, set_id, right_now())
    return render(request, "training/pages/set.html", {"shown": show_set(viewer, view)})
