"""What is new for a member on a day: answers, words in posts, what waits in practice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from training import clock, visibility
from training.models import Membership, PracticeDue, Question, ScrambleSet, WorthAWord
from training.prepared import DAY, INSTANT, LARGE, Prepared
from training.selectors.for_viewers import PreparedFor
from training.selectors.set_heads import load_named, title_of

TOLD_FOR = timedelta(days=3)
"""So long a page of a day tells of an answer or of a word."""

MOST_ANSWERS = 2


@dataclass(frozen=True, slots=True)
class Answered:
    """A question of one's own that was answered: about which scramble."""

    set_id: int
    title: str
    day: date
    number: int


@dataclass(frozen=True, slots=True)
class Word:
    """That a post tells something of somebody: of which challenge."""

    challenge_id: int
    number: int
    name: str


@dataclass(frozen=True, slots=True)
class DayNews:
    """``answers``: the newest; ``more_answers``: how many stand beside them. ``due``: the ideas
    that wait in practice, empty once today's has begun."""

    answers: tuple[Answered, ...]
    more_answers: int
    words: tuple[Word, ...]
    due: tuple[str, ...]


def day_news(viewer: Membership, now: datetime) -> DayNews:
    """What is new for ``viewer``. Three queries, one more where an idea is
    due and one where a question was answered."""
    since = now - TOLD_FOR
    rows = _answered(viewer.pk, since, now)
    load_named(one.scramble.scramble_set for one in rows[:MOST_ANSWERS])
    said = _said(viewer, since, now)
    challenges = {one.post.challenge_id: one.post.challenge for one in said}
    return DayNews(
        answers=tuple(
            Answered(of_set.pk, title_of(of_set), of_set.day, one.scramble.number)
            for one in rows[:MOST_ANSWERS]
            for of_set in [one.scramble.scramble_set]
        ),
        more_answers=max(0, len(rows) - MOST_ANSWERS),
        words=tuple(Word(pk, one.number, one.name) for pk, one in challenges.items()),
        due=_due(viewer, clock.local_date(now, viewer.club.zone)),
    )


_answered = Prepared(
    lambda member, since, now: (
        Question.objects.filter(membership=member, answered_at__gt=since, answered_at__lte=now)
        .exclude(answer="")
        .select_related("scramble__scramble_set")
        .order_by("-answered_at")
    ),
    *(LARGE, INSTANT, INSTANT),
)
_said = PreparedFor(
    lambda viewer, since, now: (
        WorthAWord.objects.filter(
            membership=viewer.pk,
            post__posted_at__gt=since,
            post__posted_at__lte=now,
            post__challenge__in=visibility.challenges(viewer, now).values("pk"),
        )
        .select_related("post__challenge")
        .order_by("pk")
    ),
    *(INSTANT, INSTANT),
)


def _due(viewer: Membership, day: date) -> tuple[str, ...]:
    codes = tuple(code for (code,) in _codes(viewer.pk, day))
    if codes and ScrambleSet.objects.practice_of(viewer).filter(day=day).exists():
        return ()
    return codes


_codes: Prepared[tuple[str]] = Prepared(
    lambda member, day: (
        PracticeDue.objects.filter(membership=member, due_on__lte=day)
        .order_by("due_on", "code")
        .values_list("code")
    ),
    *(LARGE, DAY),
)
