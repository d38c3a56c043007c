"""Who improved of late, for the coach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.urls import reverse

from training.selectors.improvements import Improved
from training.web.saying.improving import change_name, change_words, looked_words


@dataclass(frozen=True, slots=True)
class ImprovedLine:
    """One member and what improved, with what it rests on."""

    member: str
    href: str
    what: str
    rests_on: str


@dataclass(frozen=True, slots=True)
class ImprovedShown:
    """All that stand out; ``looked``: which weeks, and how sure it is."""

    lines: tuple[ImprovedLine, ...]
    looked: str


def show_improved(found: Sequence[Improved], slug: str, today: date) -> ImprovedShown:
    """Lay out a club's improvements."""
    return ImprovedShown(
        lines=tuple(
            ImprovedLine(
                member=one.member,
                href=reverse("coach_member", args=[slug, one.membership_id]),
                what=change_name(one.change),
                rests_on=change_words(one.change),
            )
            for one in found
        ),
        looked=looked_words(found[0].monday, today) if found else "",
    )
