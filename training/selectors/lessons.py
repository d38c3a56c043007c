"""The evidence for a lesson on an idea: where it cost most, and what changed since it was given."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from django.db.models import Sum

from solverworker.atlas import atlas
from training import clock, visibility
from training.models import Membership, ScrambleSet, TechniqueCount, Verdict
from training.selectors.clubs import groups_of
from training.selectors.given_lessons import GivenLesson, given_lessons, sharing
from training.selectors.group_reviews import WEEKS
from training.selectors.lesson_changes import LessonLooked, change_since
from training.selectors.lesson_crosses import CostlyScramble, costly_crosses
from training.selectors.reviewed_sets import sets_in_review
from training.selectors.reviews import TECHNIQUES, first_monday
from training.selectors.set_heads import SetHead, head_of, load_named
from training.statistics import Tally
from training.visibility import Sealed

GIVEN = 3
"""Of so many sets given the last times it is told what changed since."""


@dataclass(frozen=True, slots=True)
class Homework:
    """A picked set on a technique, homework or of a club night.

    ``own``: answered of called in it, of those who compete. ``looked``: what
    changed since on random sets, None until it has opened; ``sharing``: other
    lessons to which that may be due as well.
    """

    head: SetHead
    own: Tally
    looked: LessonLooked | None
    sharing: tuple[GivenLesson, ...]


@dataclass(frozen=True, slots=True)
class Lesson:
    """The evidence for one technique as the next lesson."""

    code: str
    scrambles: tuple[CostlyScramble, ...]
    lengths: tuple[int, int]
    homework: tuple[Homework, ...]


def lesson(
    viewer: Membership, code: str, now: datetime, *, weeks: int = WEEKS, group: str = ""
) -> Lesson:
    """The evidence for a technique; with a ``group``: by the plans of who is in it now.

    What was given is told of everybody. Raises Sealed for no coach, no technique, no such group.
    """
    visibility.require_group(viewer)
    of = reviewed_of(viewer, group, now)
    if code not in TECHNIQUES:
        raise Sealed
    monday = first_monday(viewer, now, weeks)
    since = clock.local_to_utc(monday, clock.MIDNIGHT, viewer.club.zone)
    sets = sets_in_review(viewer, since, now)
    return Lesson(
        code=code,
        scrambles=costly_crosses(viewer, code, sets, now, of=of),
        lengths=fitting_lengths(sets, of=of),
        homework=_homework(viewer, code, now),
    )


def reviewed_of(viewer: Membership, group: str, now: datetime) -> list[Membership] | None:
    """Whose plans are evidence: of who is in a group now; None: everybody's.

    Raises Sealed for a group that the club does not have, or has put away.
    """
    if not group:
        return None
    if group not in groups_of(viewer.club):
        raise Sealed
    return list(visibility.reviewed_members(viewer, group, at=now))


def fitting_lengths(
    sets: Iterable[ScrambleSet], *, of: Collection[Membership] | None = None
) -> tuple[int, int]:
    """A range of best lengths fitted to everybody's level, or to that ``of`` some.

    From one below to the length up to which at least half of the crosses are found
    exactly; 4 to 6 while there is nothing to go by.
    """
    found: dict[int, list[int]] = defaultdict(lambda: [0, 0])
    verdicts = Verdict.objects.counting().in_sets(sets)
    if of is not None:
        verdicts = verdicts.filter(plan__membership__in=of)
    for best, excess in verdicts.values_list("best", "excess"):
        found[best][0] += excess == 0
        found[best][1] += 1
    within = [best for best, (exact, plans) in found.items() if 2 * exact >= plans]
    if not within:
        return (4, 6) if not found else (3, 5)
    longest = max(4, min(7, max(within)))
    return longest - 1, longest


def matching_crosses(code: str, shortest: int, longest: int) -> int | None:
    """How many of all crosses have a best of these lengths and call for a technique at the start.

    None while the atlas has yet to be made by a worker, and for no technique.
    """
    known = atlas()
    if known is None or code not in known.techniques:
        return None
    fitting = (known.distance >= shortest) & (known.distance <= longest)
    return int(np.count_nonzero(fitting & ((known.every & known.mask([code])) > 0)))


def _homework(viewer: Membership, code: str, now: datetime) -> tuple[Homework, ...]:
    """Picked sets on this technique, newest first: those to come, and the last that have opened."""
    given = given_lessons(viewer, now)
    of_set = {one.set_id: one for one in given}
    picked = visibility.lesson_sets(viewer, code).order_by("-opens_at")
    found = []
    sets = [*picked.to_come(now), *picked.opened(now)[:GIVEN]]
    load_named(sets)
    for one in sets:
        one.club = viewer.club
        lesson = of_set.get(one.pk)
        found.append(
            Homework(
                head=head_of(one, now),
                own=_own(code, one),
                looked=change_since(viewer, lesson, given, now) if lesson else None,
                sharing=sharing(lesson, given) if lesson else (),
            )
        )
    return tuple(found)


def _own(code: str, picked: ScrambleSet) -> Tally:
    found = (
        TechniqueCount.objects.counting()
        .filter(scramble_set=picked, code=code)
        .aggregate(all_called=Sum("called"), all_answered=Sum("answered"))
    )
    return Tally(found["all_answered"] or 0, found["all_called"] or 0)
