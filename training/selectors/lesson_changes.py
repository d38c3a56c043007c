"""What changed since a lesson, of what is kept of checked plans, by set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby

from solverworker.causes.residues import COLOUR_CHOICE
from solverworker.report import SLIPS
from training import clock, visibility
from training.account import Kept, slip_of_each
from training.lesson_effect import (
    Answer,
    BeforeAfter,
    LessonChange,
    LessonSaid,
    before_after,
    change_of,
    windows,
)
from training.models import Membership, Plan, ScrambleSet, SetSummary, TechniqueCount
from training.selectors.accounts import ROWS_AT_ONCE, scrambles_of
from training.selectors.given_lessons import GivenLesson
from training.selectors.reviewed_sets import sets_in_review
from training.selectors.reviews import TECHNIQUES


@dataclass(frozen=True, slots=True)
class LessonLooked:
    """What random sets say of the time since a lesson.

    All of members with opportunities in both windows. ``taught``: those who were
    taught; ``change``: what may be said. ``did``, ``did_not``: of them, those who
    handed in for its set, and those who did not; None where it has no set, or
    one that has not closed. ``handed_in``: how many did in all.
    """

    taught: BeforeAfter
    change: LessonChange | LessonSaid
    did: BeforeAfter | None = None
    did_not: BeforeAfter | None = None
    handed_in: int = 0


def change_since(
    viewer: Membership, lesson: GivenLesson, given: Sequence[GivenLesson], now: datetime
) -> LessonLooked:
    """What changed since a lesson, for a coach. ``given``: all lessons of the club.

    Random sets, of those who are looked at in reviews. An idea is compared with the ideas of
    which no lesson was given since the first day compared; a habit with members who were taught
    none on it since then. Five queries.
    """
    sets, scrambles = _sets(viewer, lesson, now)
    people = set(visibility.reviewed_members(viewer).values_list("pk", flat=True))
    if lesson.code in TECHNIQUES:
        # Of a set for some alone it is asked what changed with those.
        people = people if lesson.members is None else people & lesson.members
        answers = list(_of_ideas(lesson, given, sets, people))
    else:
        answers = list(_of_a_habit(lesson, given, sets, people))
    looked = LessonLooked(before_after(answers), change_of(answers, scrambles))
    if lesson.set_id is None or not ScrambleSet.objects.closed(now).filter(pk=lesson.set_id):
        return looked
    handed_in = set(
        Plan.objects.filter(scramble__scramble_set=lesson.set_id).values_list(
            "membership_id", flat=True
        )
    )
    return LessonLooked(
        looked.taught,
        looked.change,
        did=before_after(one for one in answers if one.member in handed_in),
        did_not=before_after(one for one in answers if one.member not in handed_in),
        handed_in=len(handed_in & people),
    )


def _sets(
    viewer: Membership, lesson: GivenLesson, now: datetime
) -> tuple[dict[int, tuple[bool, ScrambleSet]], dict[int, int]]:
    """The sets of both windows, with whether each is after the lesson; scrambles in each."""
    zone = viewer.club.zone
    span = windows(lesson.day)
    since, end = (
        clock.local_to_utc(day, clock.MIDNIGHT, zone)
        # A set that closes at midnight belongs to the day that ends there.
        for day in (span.since, span.end + timedelta(days=1))
    )
    sets = sets_in_review(viewer, since, min(end, now))
    found = {}
    for one in sets:
        after = span.after(clock.closing_day(one.due_at, zone))
        if after is not None:
            found[one.pk] = after, one
    return found, scrambles_of(sets)


def _taught_since(lesson: GivenLesson, given: Sequence[GivenLesson]) -> Iterator[GivenLesson]:
    """The other lessons that were given since the first day compared, before the last."""
    span = windows(lesson.day)
    return (one for one in given if one != lesson and span.since <= one.day < span.end)


def _of_ideas(
    lesson: GivenLesson,
    given: Sequence[GivenLesson],
    sets: Mapping[int, tuple[bool, ScrambleSet]],
    people: set[int],
) -> Iterator[Answer]:
    taught = {one.code for one in _taught_since(lesson, given)}
    compared = [code for code in TECHNIQUES if code == lesson.code or code not in taught]
    rows = (
        TechniqueCount.objects.counting()
        .filter(scramble_set__in=sets, code__in=compared, called__gt=0)
        .values_list("membership_id", "scramble_set_id", "code", "called", "answered")
    )
    for member, set_id, code, called, answered in rows:
        if member in people:
            after = sets[set_id][0]
            yield Answer(member, code, set_id, after, code == lesson.code, answered, called)


def _of_a_habit(
    lesson: GivenLesson,
    given: Sequence[GivenLesson],
    sets: Mapping[int, tuple[bool, ScrambleSet]],
    people: set[int],
) -> Iterator[Answer]:
    taught = lesson.members or frozenset()
    too = {
        member
        for one in _taught_since(lesson, given)
        if one.code == lesson.code
        for member in one.members or people
    }
    rows = (
        SetSummary.objects.counting()
        .filter(scramble_set__in=sets)
        .order_by("membership")
        .values_list("membership_id", "scramble_set_id", "crosses")
    )
    # A member at a time, so that nothing of the others is held meanwhile.
    for member, of_member in groupby(rows.iterator(ROWS_AT_ONCE), key=lambda row: row[0]):
        if member not in people or (member in too and member not in taught):
            continue
        of_sets = [(set_id, crosses) for _, set_id, crosses in of_member]
        for set_id, without, plans in _without(lesson.code, of_sets, sets):
            after = sets[set_id][0]
            yield Answer(member, lesson.code, set_id, after, member in taught, without, plans)


def _without(
    code: str,
    of_sets: Sequence[tuple[int, Sequence[Kept]]],
    sets: Mapping[int, tuple[bool, ScrambleSet]],
) -> Iterator[tuple[int, int, int]]:
    """Of each set of one member: plans without a habit, of those that could have it.

    A slip: of all plans checked, with *no plan* left out. Undone moves: of solved ones. The choice
    of colour: of solved ones where there was a choice.
    """
    if code in SLIPS:
        wrong = [line[1] for _, crosses in of_sets for line in crosses if len(line) == 2]
        kinds = iter(slip_of_each(wrong))
        for set_id, crosses in of_sets:
            plans = [line for line in crosses if len(line) > 1]
            slipped = sum(next(kinds) == code for line in plans if len(line) == 2)
            yield set_id, len(plans) - slipped, len(plans)
        return
    for set_id, crosses in of_sets:
        if code == COLOUR_CHOICE.code and len(sets[set_id][1].colours) < 2:
            continue
        solved = [line[5] for line in crosses if len(line) > 2]
        yield set_id, sum(code not in shares for shares in solved), len(solved)
