"""Posts, rendered when they are read: names as the place allows, numbers as confirmed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from training import clock, policies, visibility
from training.models import Club, ConfirmedLine, Membership, Post, PublicAddress, WorthAWord
from training.ranking import Score
from training.selectors.challenge_results import score_of
from training.selectors.seasons import season_of
from training.selectors.table_rows import name_of
from training.visibility import Sealed


@dataclass(frozen=True, slots=True)
class PostedLine:
    """A line of the result that a post tells of."""

    rank: int
    member: str
    score: Score


@dataclass(frozen=True, slots=True)
class PostedWord:
    """Something worth a word, of whom, with its evidence."""

    kind: str
    member: str
    figures: dict[str, Any]


@dataclass(frozen=True, slots=True)
class PostView:
    """A post. ``outside``: names as they may leave the club."""

    id: int
    challenge_id: int
    club: str
    number: int
    name: str
    season: str
    closes_at: datetime
    confirmed_at: datetime
    posted_at: datetime
    outside: bool
    lines: tuple[PostedLine, ...]
    words: tuple[PostedWord, ...]
    rules: dict[str, Any]


def outside_name(member: Membership) -> str:
    """What somebody is called where others than the club read it."""
    if policies.is_former(member):
        return _("a former member")
    return member.display_name if policies.is_named_outside(member) else _("a member")


def post_views(posts: Sequence[Post], *, outside: bool) -> list[PostView]:
    """Some posts of one club, challenge, set and club loaded. A constant number of queries."""
    called = outside_name if outside else name_of
    newest: dict[int, int] = {}
    at: dict[int, datetime] = {}
    rules: dict[int, dict[str, Any]] = {}
    for post in posts:
        for one in post.challenge.confirmations.all():
            # In the order of their turns: the last one stands.
            newest[post.pk], at[post.pk], rules[post.pk] = one.pk, one.confirmed_at, one.rules
    lines: dict[int, list[ConfirmedLine]] = defaultdict(list)
    rows = ConfirmedLine.objects.filter(confirmation__in=newest.values())
    for line in rows.select_related("membership"):
        lines[line.confirmation_id].append(line)
    words: dict[int, list[WorthAWord]] = defaultdict(list)
    for word in WorthAWord.objects.filter(post__in=list(posts)).select_related("membership"):
        words[word.post_id].append(word)
    return [
        PostView(
            id=post.pk,
            challenge_id=post.challenge_id,
            club=post.challenge.scramble_set.club.name,
            number=post.challenge.number,
            name=post.challenge.name,
            season=_season(post),
            closes_at=post.challenge.scramble_set.closes_at,
            confirmed_at=at[post.pk],
            posted_at=post.posted_at,
            outside=outside,
            lines=tuple(
                PostedLine(one.rank, called(one.membership), score_of(one))
                for one in lines[newest[post.pk]]
            ),
            words=tuple(
                PostedWord(one.kind, called(one.membership), one.figures) for one in words[post.pk]
            ),
            rules=rules[post.pk],
        )
        for post in posts
    ]


def _season(post: Post) -> str:
    of_set = post.challenge.scramble_set
    if of_set.groups.exists():
        return ""
    found = season_of(of_set.club_id, clock.closing_day(of_set.due_at, of_set.club.zone))
    return found.name if found is not None else ""


def _posts() -> QuerySet[Post]:
    found = Post.objects.select_related("challenge__scramble_set__club")
    return found.prefetch_related("challenge__confirmations").order_by("-posted_at", "-pk")


def posts_of(club: Club | int) -> list[Post]:
    """The newest posts of a club that others may read: none of a challenge for a group alone."""
    found = _posts().filter(challenge__scramble_set__club=club)
    return list(found.filter(challenge__scramble_set__groups=None)[:30])


def posts_for(viewer: Membership, now: datetime) -> list[Post]:
    """The posts of the challenges that are there for ``viewer``, newest first."""
    there = visibility.challenges(viewer, now).order_by().values("pk")
    return list(_posts().filter(challenge__in=there))


def post_for(viewer: Membership, challenge_id: int, now: datetime) -> Post:
    """The post of a challenge that is there for ``viewer``. Raises Sealed before it is posted."""
    found = next((p for p in posts_for(viewer, now) if p.challenge_id == challenge_id), None)
    if found is None:
        raise Sealed
    return found


def post_of(challenge_id: int) -> Post | None:
    """The post of a challenge; None before it is posted."""
    return _posts().filter(challenge=challenge_id).first()


def club_at(secret: str) -> Club:
    """The club whose posts everybody with this address reads. Raises Sealed for any other."""
    found = PublicAddress.objects.filter(secret=secret).select_related("club").first()
    if found is None:
        raise Sealed
    return found.club


def public_address_of(club: Club) -> PublicAddress | None:
    """Where everybody reads a club's posts; None where nobody outside does."""
    return PublicAddress.objects.filter(club=club).first()
