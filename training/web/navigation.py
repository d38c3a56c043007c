"""What every page's frame needs: the club, who looks, the links of the header and the footer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext_lazy

from training.models import Membership
from training.rights import may_coach, may_enter, may_own
from training.selectors import clubs
from training.selectors.health import catches_up
from training.web.admission import person_of

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise


@dataclass(frozen=True, slots=True)
class Link:
    """A link of the frame; ``current`` for the page that is open."""

    text: str
    href: str
    current: bool


_Links = tuple[tuple["_StrPromise", str], ...]

_MEMBER: _Links = (
    (gettext_lazy("Today"), "today"),
    (gettext_lazy("Table"), "table"),
    (gettext_lazy("Challenges"), "challenges"),
    (gettext_lazy("Practice"), "practice"),
    (gettext_lazy("My progress"), "progress"),
)
_COACH: _Links = (
    (gettext_lazy("Coach’s day"), "coach"),
    (gettext_lazy("Week"), "planner"),
    (gettext_lazy("Review"), "coach_review"),
    (gettext_lazy("Today"), "today"),
    (gettext_lazy("Table"), "table"),
    (gettext_lazy("Challenges"), "challenges"),
    (gettext_lazy("People"), "people"),
)
_OWN: _Links = ((gettext_lazy("Practice"), "practice"), (gettext_lazy("My progress"), "progress"))
_FOOT: _Links = (
    (gettext_lazy("Earlier days"), "earlier"),
    (gettext_lazy("Calendar"), "calendar"),
)
_COACHS_FOOT: _Links = (
    (gettext_lazy("Groups"), "groups"),
    (gettext_lazy("Settings"), "settings"),
    (gettext_lazy("Corrections"), "corrections"),
    (gettext_lazy("Questions"), "questions"),
)
_OWNERS_FOOT: _Links = (
    (gettext_lazy("Log"), "log"),
    (gettext_lazy("Export"), "export"),
    (gettext_lazy("Web hooks"), "hooks"),
    (gettext_lazy("How the site is"), "site"),
)
_SECTION = {
    "set": "today",
    "scramble": "today",
    "table_set": "table",
    **dict.fromkeys(("inspect", "write", "read_back", "again", "ask"), "today"),
    "challenge": "challenges",
    "challenge_post": "challenges",
    "challenge_sheet": "challenges",
    "season": "challenges",
    "change_season": "challenges",
    "questions": "coach",
    "table_day": "table",
    "table_week": "table",
    "table_all": "table",
    "coach_set": "coach",
    "coach_plan": "coach",
    "correct_set": "coach",
    "coach_member": "coach_review",
    "coach_member_plans": "coach_review",
    "lesson": "coach_review",
    "homework": "coach_review",
    "plans": "progress",
    "code_card": "people",
    "member": "people",
    "people_list": "people",
    "cards": "people",
    "member_data": "people",
    "erase_member": "people",
    **dict.fromkeys(
        ("planner_week", "planner_day", "planner_copy", "planner_set", "holidays"), "planner"
    ),
    "series": "settings",
    "new_series": "settings",
}


def home_of(membership: Membership) -> str:
    """Where a membership's day begins: a coach's at the overview, a member's at today's set."""
    name = "coach" if may_coach(membership) and not membership.competes else "today"
    return reverse(name, args=[membership.club.slug])


def club_of_page(request: HttpRequest) -> dict[str, Any]:
    """Context processor: ``club``, ``membership``, ``links``, ``foot_links``, ``catches_up``."""
    viewer = viewer_of(request)
    if viewer is None:
        return {"club": None, "membership": None, "links": (), "foot_links": ()}
    name = request.resolver_match.url_name if request.resolver_match else ""
    here = _SECTION.get(name or "", name)
    of_club = getattr(request, "viewer", None) is not None
    coaches = may_coach(viewer)
    foot = _FOOT + (_OWN * viewer.competes + _COACHS_FOOT if coaches else ())
    foot += _OWNERS_FOOT * may_own(viewer)
    return {
        "club": viewer.club,
        "membership": viewer,
        "links": _links(_COACH if coaches else _MEMBER, viewer, here if of_club else ""),
        "foot_links": _links(foot, viewer, here),
        # Asked by the pages that sum up, when they are made.
        "catches_up": catches_up,
    }


def _links(pairs: _Links, viewer: Membership, here: str | None) -> tuple[Link, ...]:
    return tuple(
        Link(str(text), reverse(name, args=[viewer.club.slug]), name == here)
        for text, name in pairs
    )


def viewer_of(request: HttpRequest) -> Membership | None:
    """The membership of a club's page; elsewhere the only or first open one."""
    of_page: Membership | None = getattr(request, "viewer", None)
    if of_page is not None:
        return of_page
    person = person_of(request) if hasattr(request, "user") else None
    if person is None:
        return None
    for one in clubs.memberships_of(person):
        if may_enter(one):
            return one
    return None
