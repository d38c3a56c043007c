"""What a club keeps of somebody around its challenges: questions, results, what they did there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from training.models import (
    Challenge,
    Confirmation,
    ConfirmedLine,
    Membership,
    Post,
    Question,
    WorthAWord,
)


@dataclass(frozen=True, slots=True)
class KeptQuestion:
    """A question that somebody asked, or answered (``answered_by_them``)."""

    asked_at: datetime
    number: int
    words: str
    answer: str
    answered_at: datetime | None
    answered_by_them: bool


@dataclass(frozen=True, slots=True)
class KeptResult:
    """A line of a confirmed result. ``of``: of a challenge or a season, by its name or number."""

    confirmed_at: datetime
    of: str
    rank: int
    points: int
    solved: int
    exact: int
    crosses: int


@dataclass(frozen=True, slots=True)
class KeptPraise:
    """For what somebody was worth a word in a post."""

    posted_at: datetime
    kind: str


@dataclass(frozen=True, slots=True)
class KeptOfChallenges:
    """All of it. ``announced``, ``confirmed``, ``posted``: when somebody did, as a coach.

    ``named_outside``: whether the own name may stand outside the club, and since
    when a guardian agreed to that.
    """

    named_outside: bool
    guardian_agreed_at: datetime | None
    questions: tuple[KeptQuestion, ...]
    results: tuple[KeptResult, ...]
    praised: tuple[KeptPraise, ...]
    announced: tuple[datetime, ...]
    confirmed: tuple[datetime, ...]
    posted: tuple[datetime, ...]
    agreements_noted: tuple[datetime, ...]


def kept_of_challenges(membership: Membership) -> KeptOfChallenges:
    """What is kept of one membership. Seven queries."""
    asked = Question.objects.filter(Q(membership=membership) | Q(answered_by=membership))
    lines = ConfirmedLine.objects.filter(membership=membership).select_related(
        "confirmation__challenge", "confirmation__season"
    )
    words = WorthAWord.objects.filter(membership=membership).select_related("post")
    announced = Challenge.objects.filter(announced_by=membership).order_by("announced_at")
    confirmed = Confirmation.objects.filter(by=membership).order_by("confirmed_at")
    posts = Post.objects.filter(by=membership).order_by("posted_at")
    noted = Membership.objects.filter(
        club=membership.club_id, outside_consent_by=membership.person_id
    )
    return KeptOfChallenges(
        named_outside=membership.named_outside,
        guardian_agreed_at=membership.outside_consent_at,
        questions=tuple(
            KeptQuestion(
                asked_at=one.asked_at,
                number=one.scramble.number,
                words=one.words,
                answer=one.answer,
                answered_at=one.answered_at,
                answered_by_them=one.answered_by_id == membership.pk,
            )
            for one in asked.select_related("scramble")
        ),
        results=tuple(_result(one) for one in lines.order_by("pk")),
        praised=tuple(KeptPraise(one.post.posted_at, one.kind) for one in words.order_by("pk")),
        announced=tuple(announced.values_list("announced_at", flat=True)),
        confirmed=tuple(confirmed.values_list("confirmed_at", flat=True)),
        posted=tuple(posts.values_list("posted_at", flat=True)),
        agreements_noted=tuple(
            one.outside_consent_at for one in noted if one.outside_consent_at is not None
        ),
    )


def _result(line: ConfirmedLine) -> KeptResult:
    confirmation = line.confirmation
    if confirmation.challenge is not None:
        of = confirmation.challenge.name or str(confirmation.challenge.number)
    else:
        of = confirmation.season.name if confirmation.season is not None else ""
    return KeptResult(
        confirmed_at=confirmation.confirmed_at,
        of=of,
        rank=line.rank,
        points=line.points,
        solved=line.solved,
        exact=line.exact,
        crosses=line.crosses,
    )
