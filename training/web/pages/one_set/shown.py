"""One set laid out for a member, with the way to everybody's plans for a coach."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from training.models import Kind, Membership
from training.selectors.plans import SetView
from training.visibility import sees_group
from training.web.parts.set_cards import SetShown, show_set


@dataclass(frozen=True, slots=True)
class AgainShown:
    """A closed set and the own one in which it is planned again; no ``href``: to be begun."""

    href: str
    text: str


@dataclass(frozen=True, slots=True)
class OneSetShown:
    """What ``pages/one_set/one_set.html`` needs; ``plans_href`` is empty but for coaches.

    ``again`` is None for a set that is still open.
    """

    set: SetShown
    plans_href: str
    again: AgainShown | None


def show_one(viewer: Membership, view: SetView, again: int | None, now: datetime) -> OneSetShown:
    """Lay out a set; ``again``: the viewer's own one in which it is planned afterwards."""
    plans_href = ""
    if sees_group(viewer) and not view.head.of_member:
        plans_href = reverse("coach_set", args=[viewer.club.slug, view.head.id])
    return OneSetShown(
        set=show_set(viewer, view, now), plans_href=plans_href, again=_again(viewer, view, again)
    )


def _again(viewer: Membership, view: SetView, own: int | None) -> AgainShown | None:
    head = view.head
    if head.again_of is not None:
        closed = reverse("set", args=[viewer.club.slug, head.again_of])
        return AgainShown(closed, _("The set as it was, closed"))
    if head.kind == Kind.PRACTICE or not head.has_closed:
        return None
    if own is None:
        return AgainShown("", "")
    return AgainShown(
        reverse("set", args=[viewer.club.slug, own]), _("Your plans of it afterwards")
    )
