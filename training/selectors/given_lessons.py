"""All lessons that a club was given: sets picked for an idea, and lessons held on a habit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from training import clock, visibility
from training.lesson_effect import windows
from training.models import Membership, ScrambleSet
from training.selectors.counting import Belonging
from training.selectors.reviews import TECHNIQUES
from training.selectors.set_heads import title_of


@dataclass(frozen=True, slots=True)
class GivenLesson:
    """A lesson that was given: what it was about, and from which day on.

    ``title``: of its set, empty for one held without. ``members``: who was
    taught, None: the whole club. A set for groups taught those who belonged to
    one, one for a member that one. Exactly one of ``set_id`` and ``note_id``.
    """

    code: str
    day: date
    title: str = ""
    members: frozenset[int] | None = None
    set_id: int | None = None
    note_id: int | None = None


def given_lessons(viewer: Membership, now: datetime) -> tuple[GivenLesson, ...]:
    """All lessons given so far, the newest first; none for who is no coach.

    Four queries, five where a set is for groups.
    """
    zone = viewer.club.zone
    sets = list(visibility.lesson_sets(viewer, *TECHNIQUES).opened(now))
    belonging = Belonging(sets)
    found = [
        GivenLesson(
            code=str((one.profile or {}).get("technique")),
            day=clock.local_date(one.opens_at, zone),
            title=title_of(one),
            members=_members_of(one, belonging),
            set_id=one.pk,
        )
        for one in sets
    ]
    found += [
        GivenLesson(
            code=one.code,
            day=one.day,
            members=frozenset(member.pk for member in one.members.all()),
            note_id=one.pk,
        )
        for one in visibility.taught_lessons(viewer).prefetch_related("members")
    ]
    return tuple(sorted(found, key=lambda one: one.day, reverse=True))


def _members_of(one: ScrambleSet, belonging: Belonging) -> frozenset[int] | None:
    if one.for_member_id is not None:
        return frozenset({one.for_member_id})
    return belonging.those_given(one)


def sharing(lesson: GivenLesson, all_given: Sequence[GivenLesson]) -> tuple[GivenLesson, ...]:
    """The other lessons to which a change since this one may be due as well.

    Those whose four weeks overlap with what is compared, and that somebody who was taught this
    one was taught too.
    """
    span = windows(lesson.day)
    return tuple(
        one
        for one in all_given
        if one != lesson
        and span.shares(one.day)
        and (one.members is None or lesson.members is None or one.members & lesson.members)
    )
