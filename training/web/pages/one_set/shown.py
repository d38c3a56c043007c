"""One set laid out for a member, with the way to everybody's plans for a coach."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from training.models import Kind, Membership
from training.selectors.plans import SetView
from training.visibility import sees_group
from training.web.parts.set_cards import SetShown, show_set


@dataclass(frozen=True, slots=True)
class OneSetShown:
    """What ``pages/one_set/one_set.html`` needs; ``plans_href`` is empty but for coaches."""

    set: SetShown
    plans_href: str


def show_one(viewer: Membership, view: SetView, now: datetime) -> OneSetShown:
    """Lay out a set. Own practice has nobody else's plans."""
    plans_href = ""
    if sees_group(viewer) and view.head.kind != Kind.PRACTICE:
        plans_href = reverse("coach_set", args=[viewer.club.slug, view.head.id])
    return OneSetShown(set=show_set(viewer, view, now), plans_href=plans_href)
