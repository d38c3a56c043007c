"""A club with one of everything that must not be seen by everybody, and nine who look."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from uuid import UUID

from django.test import Client

from tests.conftest import NOON, Given, make_membership
from tests.grouping import group_named
from tests.training.challenged import a_challenge, planned
from training.models import (
    Club,
    Drawn,
    Membership,
    Plan,
    Post,
    PublicAddress,
    Question,
    Role,
    Scope,
    ScrambleSet,
    Season,
    Standing,
    WebHook,
)
from training.services import feeds, people
from training.services.posting import post
from training.services.tokens import make_token

ABSENT = 10**7
"""An id that nothing has."""

VIEWERS = ("out", "member", "second", "coach", "rival", "far", "gone", "child", "waiting")
"""Signed out; a member with plans in; a second member without; a coach; a coach who competes and
has no plan in the open set (so in sealed mode); a coach of another club; an archived member; a
child without consent; somebody who joined and waits to be let in."""


@dataclass(frozen=True)
class World:
    """``things``: by the name of an address's argument, what it can be, by a word for each.

    ``tokens`` and ``sessions``: how each viewer but the first comes to the API and to the pages.
    """

    things: dict[str, dict[str, object]]
    tokens: dict[str, str]
    sessions: dict[str, str]
    client: Client = field(default_factory=Client)


def make_world(club: Club, other_club: Club, member: Membership, second: Membership) -> World:
    """Everything stored once; the requests that follow are taken back one by one."""
    given = Given(club)
    coach = make_membership(club, "Kari", Role.COACH)
    rival = make_membership(club, "Runa", Role.COACH, competes=True)
    far = make_membership(other_club, "Orla", Role.COACH)
    archived = make_membership(club, "Arvid", standing=Standing.ARCHIVED)
    child = make_membership(club, "Solveig", standing=Standing.CONSENT, under_18=True)
    waiting = make_membership(club, "Noa", standing=Standing.WAITING)
    yesterday = timedelta(days=1)
    closed = given.a_set(opens=NOON - timedelta(hours=37), closes=NOON - timedelta(hours=13))
    opened = given.a_set()
    unopened = given.a_set(opens=NOON + timedelta(hours=11), closes=NOON + timedelta(hours=35))
    practice = given.a_set(
        kind="practice", drawn=Drawn.PICKED, for_member=member, opens=NOON - timedelta(hours=1)
    )
    foreign = given.a_set(club=other_club)
    plans: dict[str, Plan] = {
        "closed": given.a_plan(member, closed, 1, "D' R'", at=NOON - yesterday),
        "open": given.a_plan(member, opened, 1, "D2 D R'"),
        "practice": given.a_plan(member, practice, 1, "D' R'"),
        "foreign": given.a_plan(far, foreign, 1, "D' R'"),
    }
    given.a_plan(second, closed, 1, "D2 D R'", at=NOON - yesterday)
    challenges = _challenges(given, coach, member, other_club)
    season = Season.objects.create(
        club=club,
        name="autumn",
        first_day=NOON.date() - 30 * yesterday,
        last_day=NOON.date() + 30 * yesterday,
        kinds=["challenge"],
    )
    question = Question.objects.create(
        membership=member, scramble=given.scramble(closed), words="Why?", asked_at=NOON
    )
    published = PublicAddress.objects.create(club=club)
    hook, message = _hook(club, closed)
    far_hook, far_message = _hook(other_club, foreign)
    link = people.make_owner_link(base_url="")
    invite = people.make_invite(by=coach)[1]
    address = feeds.make_address(membership=member)
    sets = {
        "open": opened.pk,
        "closed": closed.pk,
        "unopened": unopened.pk,
        "practice": practice.pk,
        "foreign": foreign.pk,
        "absent": ABSENT,
    }
    return World(
        things={
            "slug": {"": club.slug},
            "set_id": sets,
            "number": {"": 1},
            "plan_id": {**{word: plan.pk for word, plan in plans.items()}, "absent": ABSENT},
            "membership_id": {"member": member.pk, "foreign": far.pk, "absent": ABSENT},
            "correction_id": {"absent": ABSENT},
            "group_id": {
                "real": group_named(club, "Builders").pk,
                "foreign": group_named(other_club, "Builders").pk,
                "absent": ABSENT,
            },
            "series_id": {"real": club.first_series.pk, "foreign": other_club.first_series.pk},
            "challenge_id": challenges,
            "season_id": {"real": season.pk, "absent": ABSENT},
            "question_id": {"real": question.pk, "absent": ABSENT},
            "hook_id": {"real": hook, "foreign": far_hook, "absent": ABSENT},
            "api:try-again.number": {"real": message, "foreign": far_message},
            "secret": {"real": published.secret, "wrong": "wrong"},
            "post_id": {"real": Post.objects.get().pk, "absent": ABSENT},
            "day": {"": NOON.date()},
            "calendar_file.token": {"real": address, "wrong": "wrong"},
            "join.token": {"real": invite, "wrong": "wrong"},
            "start.token": {"real": link.rstrip("/").rpartition("/")[2], "wrong": "wrong"},
            "lesson.code": {"real": "base_turn", "wrong": "wrong"},
            "api:idea-lesson.code": {"real": "base_turn", "wrong": "mirrored"},
            "api:habit-lesson.code": {"real": "mirrored", "wrong": "base_turn"},
            "api:problem.code": {"real": "set_closed", "wrong": "wrong"},
        },
        tokens=_tokens(member, second, coach, rival, far, archived, child, waiting),
        sessions=_sessions(member, second, coach, rival, far, archived, child, waiting),
    )


def _hook(club: Club, about: ScrambleSet) -> tuple[int, UUID]:
    """A web hook with a message that was given up: its id and the message's number."""
    made = WebHook.objects.create(club=club, address="https://hook.example/", events=["confirmed"])
    message = made.deliveries.create(
        event="confirmed", scramble_set=about, happened_at=NOON, tries=7
    )
    return made.pk, message.number


def _challenges(
    given: Given, coach: Membership, member: Membership, other_club: Club
) -> dict[str, object]:
    """One to come, one that is posted, one of another club."""
    day = timedelta(days=1)
    to_come = a_challenge(given.club, opens=NOON + day, closes=NOON + 3 * day)
    posted = a_challenge(given.club, opens=NOON - 5 * day, closes=NOON - 4 * day)
    planned(given, posted, member, ["D' R'"])
    post(challenge=posted, by=coach, now=NOON)
    foreign = a_challenge(other_club, opens=NOON + day, closes=NOON + 3 * day)
    return {
        "announced": to_come.pk,
        "posted": posted.pk,
        "foreign": foreign.pk,
        "absent": ABSENT,
    }


def _tokens(*people: Membership) -> dict[str, str]:
    return {
        viewer: make_token(person=who.person, scopes=Scope)[1]
        for viewer, who in zip(VIEWERS[1:], people, strict=True)
    }


def _sessions(*people: Membership) -> dict[str, str]:
    found = {}
    for viewer, who in zip(VIEWERS[1:], people, strict=True):
        client = Client()
        client.force_login(who.person, backend="training.services.backends.PhraseBackend")
        found[viewer] = client.cookies["sessionid"].value
    return found
