"""Weekly challenges as they are read: in which state each is, and who is told of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Max, Q

from training import clock, visibility
from training.belonging import load_groups
from training.challenge_states import Asked, Course, Reached, Stage, checked_at, reached
from training.models import (
    PENDING,
    Challenge,
    Confirmation,
    Corrected,
    Correction,
    Membership,
    Plan,
    Post,
    Question,
    Season,
    Verdict,
)
from training.prepared import INSTANT, LARGE
from training.selectors.for_viewers import PreparedFor
from training.visibility import Sealed


@dataclass(frozen=True, slots=True)
class ChallengeHead:
    """A challenge without its results: what it is, in which state, and what comes next.

    ``until``: when the next state comes by itself, None where that depends on
    somebody. ``questions_until``: until when members ask, once that is known.
    ``open_questions``: how many wait for an answer; ``season``: the name of the one
    that it feeds, empty for none. ``crosses``: how many it has, or will have.
    ``groups``: for whom alone it is; none: for everybody.
    """

    id: int
    set_id: int
    number: int
    name: str
    season: str
    season_id: int | None
    stage: str
    since: datetime
    until: datetime | None
    questions_until: datetime | None
    open_questions: int
    announced_at: datetime
    opens_at: datetime
    closes_at: datetime
    confirmed_at: datetime | None
    posted_at: datetime | None
    question_hours: int
    colours: tuple[str, ...]
    crosses: int
    groups: tuple[str, ...] = ()


def challenge_for(viewer: Membership, challenge_id: int, now: datetime) -> Challenge:
    """One announced challenge of the viewer's club. Raises Sealed."""
    for challenge in _one(viewer, now, challenge_id):
        challenge.scramble_set.club = viewer.club
        return challenge
    raise Sealed


_one = PreparedFor(
    lambda viewer, now, pk: (
        visibility.challenges(viewer, now).filter(pk=pk).select_related("scramble_set").order_by()
    ),
    *(INSTANT, LARGE),
)


def challenges_of(
    viewer: Membership, now: datetime, *, start: int = 0, count: int = 20
) -> list[ChallengeHead]:
    """The announced challenges of a club, the one that opens last at the head."""
    found = visibility.challenges(viewer, now).select_related("scramble_set")
    return heads_of(viewer, list(found[start : start + count]), now)


TOLD_FOR = timedelta(days=3)
"""How long a day's page tells of a result that stands, and of a post."""


def running(viewer: Membership, now: datetime) -> list[ChallengeHead]:
    """Those to tell of on a day's page: from the announcing on until a while after the post.

    That a result waits to be posted, coaches are told until it is.
    """
    recent = _recent(viewer, now, now - TOLD_FOR, now - timedelta(days=28))
    heads = heads_of(viewer, recent, now)
    coaches = visibility.sees_group(viewer)
    return [one for one in reversed(heads) if _is_told(one, now, coaches=coaches)]


_recent = PreparedFor(
    lambda viewer, now, posted_after, closing_after: (
        visibility.challenges(viewer, now)
        .filter(
            Q(post__isnull=True) | Q(post__posted_at__gt=posted_after),
            scramble_set__closes_at__gt=closing_after,
        )
        .select_related("scramble_set")[:5]
    ),
    *(INSTANT, INSTANT, INSTANT),
)


def _is_told(head: ChallengeHead, now: datetime, *, coaches: bool) -> bool:
    if head.stage == Stage.CONFIRMED:
        return coaches or head.since > now - TOLD_FOR
    return head.stage != Stage.OUT


def heads_of(
    viewer: Membership, challenges: Sequence[Challenge], now: datetime
) -> list[ChallengeHead]:
    """The heads of some challenges of the viewer's club, their sets loaded."""
    load_groups(one.scramble_set for one in challenges)
    courses = courses_of(challenges)
    seasons = list(Season.objects.filter(club=viewer.club_id)) if challenges else []
    return [_head(viewer, one, courses[one.pk], seasons, now) for one in challenges]


def _head(
    viewer: Membership,
    challenge: Challenge,
    course: Course,
    seasons: Iterable[Season],
    now: datetime,
) -> ChallengeHead:
    found = reached(course, now)
    of_set = challenge.scramble_set
    day = clock.closing_day(of_set.due_at, viewer.club.zone)
    for_all = not of_set.groups.all()
    fed = (one for one in seasons if for_all and feeds(one, of_set.kind) and spans(one, day))
    season = next(fed, None)
    return ChallengeHead(
        id=challenge.pk,
        set_id=of_set.pk,
        number=challenge.number,
        name=challenge.name,
        season=season.name if season else "",
        season_id=season.pk if season else None,
        stage=found.stage.value,
        since=found.since,
        until=found.until,
        questions_until=found.questions_until,
        open_questions=found.open_questions,
        announced_at=challenge.announced_at,
        opens_at=of_set.opens_at,
        closes_at=of_set.closes_at,
        confirmed_at=found.confirmed_at,
        posted_at=course.posted_at if found.stage == Stage.POSTED else None,
        question_hours=challenge.question_hours,
        colours=tuple(of_set.colours),
        crosses=of_set.scrambles_wanted,
        groups=tuple(one.name for one in of_set.groups.all()),
    )


def feeds(season: Season, kind: str) -> bool:
    """Whether sets of a kind are added up in a season."""
    return kind in season.kinds


def spans(season: Season, day: object) -> bool:
    """Whether a closing day lies in a season."""
    first, last = season.days()
    return first <= day <= last  # type: ignore[operator]


def course_of(challenge: Challenge) -> Course:
    """All that decides in which state one challenge is."""
    return courses_of([challenge])[challenge.pk]


def reached_by(challenge: Challenge, now: datetime) -> Reached:
    """In which state one challenge is."""
    return reached(course_of(challenge), now)


def courses_of(challenges: Sequence[Challenge]) -> dict[int, Course]:
    """All that decides in which state some challenges are, their sets loaded. A few queries.

    When all was checked is kept once it is known; until then it is found here.
    """
    if not challenges:
        return {}
    unknown = [one.scramble_set_id for one in challenges if one.checked_at is None]
    waits, decided = _decisions(unknown)
    asked: dict[int, list[Asked]] = defaultdict(list)
    of_sets = [one.scramble_set_id for one in challenges]
    questions = Question.objects.filter(scramble__scramble_set__in=of_sets).order_by("asked_at")
    for set_id, at, answered in questions.values_list(
        "scramble__scramble_set_id", "asked_at", "answered_at"
    ):
        asked[set_id].append(Asked(at, answered))
    ids = [one.pk for one in challenges]
    by_coaches = Confirmation.objects.filter(challenge__in=ids, turn=1)
    confirmed = dict(by_coaches.values_list("challenge_id", "confirmed_at"))
    posted = dict(Post.objects.filter(challenge__in=ids).values_list("challenge_id", "posted_at"))
    found = {}
    for one in challenges:
        set_id, of_set = one.scramble_set_id, one.scramble_set
        found[one.pk] = Course(
            announced_at=one.announced_at,
            opens_at=of_set.opens_at,
            closes_at=of_set.closes_at,
            question_time=timedelta(hours=one.question_hours),
            checked_at=one.checked_at
            or checked_at(of_set.closes_at, set_id in waits, decided[set_id]),
            asked=tuple(asked[set_id]),
            confirmed_at=confirmed.get(one.pk),
            posted_at=posted.get(one.pk),
            taken_out=of_set.taken_out,
        )
    return found


def _decisions(set_ids: Sequence[int]) -> tuple[set[int], dict[int, list[datetime | None]]]:
    """The sets of which a plan waits, and by set when the last plan was decided on.

    A verdict decides, and so does a coach who withdraws a plan that has none, or
    takes its scramble out.
    """
    decided: dict[int, list[datetime | None]] = defaultdict(list)
    if not set_ids:
        return set(), decided
    pending = Plan.objects.pending().filter(scramble__scramble_set__in=set_ids)
    waits = set(
        pending.for_counting_scrambles()
        .order_by()
        .values_list("scramble__scramble_set_id", flat=True)
    )
    last = Verdict.objects.filter(plan__scramble__scramble_set__in=set_ids)
    for set_id, at in (
        last.values("plan__scramble__scramble_set_id")
        .annotate(last=Max("checked_at"))
        .values_list("plan__scramble__scramble_set_id", "last")
    ):
        decided[set_id].append(at)
    entries = Correction.objects.in_effect().filter(scramble_set__in=set_ids)
    of_plans = entries.filter(kind=Corrected.PLAN_WITHDRAWN)
    for set_id, at, before in of_plans.values_list("scramble_set_id", "done_at", "before"):
        if before.get("status") in PENDING:
            decided[set_id].append(at)
    of_scrambles = entries.filter(
        kind=Corrected.SCRAMBLE_VOID, scramble__plans__status__in=PENDING
    ).distinct()
    for set_id, at in of_scrambles.values_list("scramble_set_id", "done_at"):
        decided[set_id].append(at)
    return waits, decided
