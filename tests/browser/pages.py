"""The pages that are looked at in a browser, by the names of their addresses.

``tests/access`` holds this list complete: a page that is asked for nowhere here fails there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from django.urls import reverse

Things = Mapping[str, object]
"""What an address can be about, by the words that stand in ``about``."""


@dataclass(frozen=True)
class LookedAt:
    """A page as somebody sees it.

    ``name``: of its address, None for one that leads nowhere. ``about``: for each argument of
    the address, the word of a thing. ``status``: what is answered; the console notes by itself
    what is no success.
    """

    label: str
    name: str | None
    about: Mapping[str, str] = field(default_factory=dict)
    query: str = ""
    status: int = 200

    def path(self, things: Things) -> str:
        if self.name is None:
            return "/nothing/here/"
        values = {argument: things[word] for argument, word in self.about.items()}
        return reverse(self.name, kwargs=values) + self.query


def _of(label: str, name: str, query: str = "", status: int = 200, **about: str) -> LookedAt:
    return LookedAt(label, name, {"slug": "club", **about}, query, status)


def _plain(label: str, name: str, query: str = "", status: int = 200, **about: str) -> LookedAt:
    return LookedAt(label, name, about, query, status)


SCROLL_SIDEWAYS: Mapping[str, str] = {}
"""Pages on which a table may scroll sideways on a phone, by label, each with its reason."""

SIGNED_OUT = (
    _plain("first", "first"),
    _plain("first-step", "first", "?way=1&step=4"),
    _plain("notation", "notation"),
    _plain("guide", "guide"),
    _plain("guide-coach", "guide_coach"),
    _plain("guide-parents", "guide_parents"),
    _plain("privacy", "privacy"),
    _plain("no-line", "offline"),
    _plain("sign-in", "sign_in"),
    _plain("code", "code"),
    _plain("join", "join", token="invite"),
    _plain("join-gone", "join", token="nothing", status=410),
    _plain("start", "start", token="owner_link"),
    _plain("problems", "api:problems"),
    _plain("problem", "api:problem", code="a_problem"),
    _plain("public-posts", "public_posts", secret="secret"),
    LookedAt("not-found", None, status=404),
)

OF_MEMBER = (
    _of("today", "today"),
    _of("attempt", "scramble", set_id="today", number="one"),
    _of("attempt-inspect", "inspect", set_id="today", number="one"),
    _of("attempt-write", "write", set_id="today", number="one"),
    _of("verdict-exact", "scramble", set_id="tuesday", number="one"),
    _of("verdict-loss", "scramble", "?step=3", set_id="tuesday", number="two"),
    _of("verdict-unsolved", "scramble", set_id="tuesday", number="three"),
    _of("missed", "scramble", set_id="tuesday", number="four"),
    _of("set", "set", set_id="tuesday"),
    _of("table-day", "table_day", day="yesterday"),
    _of("table-sealed", "table_day", day="the_day"),
    _of("table-week", "table_week", day="the_day"),
    _of("table-all", "table_all"),
    _of("table-set", "table_set", set_id="tuesday"),
    _of("earlier", "earlier"),
    _of("progress", "progress"),
    _of("calendar", "calendar"),
    _of("plans", "plans"),
    _of("practice", "practice"),
    _plain("own-data", "own_data"),
    _plain("erase-own", "erase_own"),
    _plain("phrase", "phrase"),
    _plain("devices", "devices"),
    _of("challenges", "challenges"),
    _of("challenge-announced", "challenge", challenge_id="announced"),
    _of("challenge-open", "challenge", challenge_id="open"),
    _of("challenge-questions", "challenge", challenge_id="questions"),
    _of("challenge-posted", "challenge", challenge_id="posted"),
    _of("season", "season", season_id="season"),
    _of("again", "again", "?step=1&moves=z2&tried=R&hint=3", set_id="tuesday", number="two"),
    _of("again-found", "again", "?step=1&moves=D'", set_id="tuesday", number="two"),
    _of("ask", "ask", set_id="tuesday", number="two"),
    _of("not-open", "coach", status=403),
)

OF_COACH = (
    _plain("guide-of-coach", "guide_coach"),
    _of("coach", "coach"),
    _of("coach-set", "coach_set", set_id="tuesday"),
    _of("correct-set", "correct_set", set_id="tuesday"),
    _of("corrections", "corrections"),
    _of("season-changed", "change_season", season_id="season"),
    _of("coach-plan", "coach_plan", plan_id="a_plan"),
    _of("coach-no-plan", "coach_plan", plan_id="no_plan"),
    _of("coach-member", "coach_member", membership_id="member"),
    _of("coach-member-plans", "coach_member_plans", membership_id="member"),
    _of("challenge-of-coach", "challenge", challenge_id="questions"),
    _of("challenge-post", "challenge_post", challenge_id="posted"),
    _of("challenge-sheet", "challenge_sheet", challenge_id="posted"),
    _of("announcing", "challenges"),
    _of("questions", "questions"),
    _of("homework", "homework", membership_id="member"),
    _of("coach-review", "coach_review"),
    _of("lesson", "lesson", code="a_technique"),
    _of("lesson-habit", "lesson", code="a_habit"),
    _of("groups", "groups"),
    _of("people", "people"),
    _of("people-list", "people_list"),
    _of("cards", "cards"),
    _of("member", "member", membership_id="member"),
    _of("member-data", "member_data", membership_id="member"),
    _of("erase-member", "erase_member", membership_id="member"),
    _of("settings", "settings"),
    _of("series", "series", series_id="series"),
    _of("new-series", "new_series"),
    _of("planner", "planner"),
    _of("planner-week", "planner_week", day="friday"),
    _of("planner-day", "planner_day", day="friday"),
    _of("planner-copy", "planner_copy", day="friday"),
    _of("planner-set", "planner_set", day="friday", series_id="series"),
    _of("holidays", "holidays"),
)

OF_OWNER = (
    _of("site", "site"),
    _of("publishing", "challenges"),
    _of("log", "log"),
    _of("export", "export"),
    _of("hooks", "hooks"),
    _of("member-of-owner", "member", membership_id="member"),
)
OF_CHILD = (_of("consent", "today", status=403),)
OF_ARCHIVED = (_of("archived", "today", status=403),)

OF_NEWCOMER = (_of("newcomer", "today", status=403),)
OF_CONSENT_WITHDRAWN = (_of("consent-withdrawn", "today", status=403),)

LISTED = (
    *(*SIGNED_OUT, *OF_MEMBER, *OF_COACH, *OF_OWNER, *OF_CHILD, *OF_ARCHIVED, *OF_NEWCOMER),
    *OF_CONSENT_WITHDRAWN,
)

NOT_LOOKED_AT = {
    "api:browse": "drawn by a library from the document",
    "read_back": "needs a draft: looked at in the attempt's own tests",
    "echo": "a part of the attempt's page, looked at there",
    "person": "shows a card or the people's page, looked at in test_a_coachs_look.py",
}
"""Addresses that answer with HTML and are still no page of this list, each with the reason."""
