"""What changed since a lesson, of what plans show: opportunities before and after it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from django.db.models import F

from training import clock, visibility
from training.lesson_effect import Answer, LessonChange, LessonSaid, change_of, windows
from training.models import Membership, ScrambleSet, Verdict
from training.selectors.reviews import TECHNIQUES


def change_since(
    viewer: Membership, code: str, lesson: ScrambleSet, now: datetime
) -> LessonChange | LessonSaid:
    """What may be said of an idea since its lesson's set opened, for a coach.

    Solved plans of random sets, of those who are looked at in reviews. Controls
    are the ideas of which no lesson was given since the first day compared.
    """
    return change_of(_answers(viewer, code, lesson, now))


def _answers(viewer: Membership, code: str, lesson: ScrambleSet, now: datetime) -> Iterator[Answer]:
    zone = viewer.club.zone
    span = windows(clock.local_date(lesson.opens_at, zone))
    since = clock.local_to_utc(span.since, clock.MIDNIGHT, zone)
    compared = {code} | {
        other
        for other in TECHNIQUES
        if not visibility.lesson_sets(viewer, other).filter(opens_at__range=(since, now)).exists()
    }
    rows = (
        Verdict.objects.counting()
        .in_sets(visibility.reviewed_sets(viewer, since, now))
        .filter(solved=True, plan__membership__in=visibility.reviewed_members(viewer))
        .annotate(called=F("techniques__called"))
        .annotate(answered=F("techniques__answered"))
        .values_list(
            "plan__membership_id",
            "plan__scramble_id",
            "plan__scramble__scramble_set__closes_at",
            "called",
            "answered",
        )
    )
    for member, scramble, closes_at, called, answered in rows:
        after = span.after(clock.closing_day(closes_at, zone))
        if after is None:
            continue
        for idea in compared.intersection(called or ()):
            good = idea in (answered or ())
            yield Answer(member, idea, scramble, after, taught=idea == code, good=good)
