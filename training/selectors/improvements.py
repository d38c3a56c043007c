"""Who improved of late, over a club's weekly looks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from solverworker.causes import IDEAS
from training import clock, looks, visibility
from training.improving import (
    EARLIER_WEEKS,
    RECENT_WEEKS,
    Change,
    IdeaChange,
    PointsChange,
    improved,
)
from training.models import Membership, ScrambleSet, SetSummary
from training.prepared import MANY, Prepared
from training.selectors.accounts import scrambles_of
from training.selectors.idea_looks import NOTHING, counts_of_each
from training.selectors.reviewed_sets import sets_in_review


@dataclass(frozen=True, slots=True)
class Improved:
    """What somebody improved in. ``monday``: up to which day the last weeks go."""

    membership_id: int
    member: str
    monday: date
    change: Change


def improvements(viewer: Membership, now: datetime) -> tuple[Improved, ...]:
    """What stands among all members and ideas of a club, as ``viewer`` may know it.

    Pages show a member the own alone. Seven queries.
    """
    monday = looks.last_look(clock.local_date(now, viewer.club.zone)).monday
    people = dict(visibility.reviewed_members(viewer).values_list("pk", "display_name"))
    parted = monday - timedelta(weeks=RECENT_WEEKS)
    recent = _sets(viewer, parted, monday)
    earlier = _sets(viewer, parted - timedelta(weeks=EARLIER_WEEKS), parted)
    changes: list[Change] = [*_ideas(people, earlier, recent), *_points(people, earlier, recent)]
    return tuple(Improved(one.member, people[one.member], monday, one) for one in improved(changes))


def _sets(viewer: Membership, since: date, until: date) -> list[ScrambleSet]:
    begins, ends = (
        clock.local_to_utc(day, clock.MIDNIGHT, viewer.club.zone) for day in (since, until)
    )
    return sets_in_review(viewer, begins, ends)


def _ideas(
    people: dict[int, str],
    earlier: list[ScrambleSet],
    recent: list[ScrambleSet],
) -> list[IdeaChange]:
    before, after = counts_of_each([earlier, recent])
    return [
        IdeaChange(
            member,
            code,
            before.get(code, {}).get(member, NOTHING)[0],
            after.get(code, {}).get(member, NOTHING)[0],
        )
        for code, idea in IDEAS.items()
        if not idea.rarely_called
        for member in people
    ]


def _points(
    people: dict[int, str], earlier: Iterable[ScrambleSet], recent: Iterable[ScrambleSet]
) -> list[PointsChange]:
    before, after = against_the_others(earlier, people), against_the_others(recent, people)
    return [PointsChange(one, tuple(before[one]), tuple(after[one])) for one in people]


_points_in: Prepared[tuple[int, int, int, int]] = Prepared(
    lambda sets: (
        SetSummary.objects.counting()
        .filter(scramble_set__in=sets)
        .values_list("scramble_set_id", "membership_id", "plans", "points")
    ),
    MANY,
)


def against_the_others(
    sets: Iterable[ScrambleSet], people: dict[int, str]
) -> dict[int, list[float]]:
    """By membership, points a plan less the others', one number a set.

    Of those who planned every scramble of a set, so that they planned the same
    ones. Points as the tables count them.
    """
    known = list(sets)
    scrambles = scrambles_of(known)
    by_set: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for set_id, member, plans, points in _points_in([one.pk for one in known]):
        if member in people and plans == scrambles[set_id]:
            by_set[set_id].append((member, points / plans))
    found: dict[int, list[float]] = defaultdict(list)
    for planned in by_set.values():
        if len(planned) < 2:
            continue
        total = sum(mean for _, mean in planned)
        for member, mean in planned:
            found[member].append(mean - (total - mean) / (len(planned) - 1))
    return found
