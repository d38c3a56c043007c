"""Homework for one member: which idea costs that member most, and what is given already."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from training import clock, visibility
from training.account import Account
from training.models import Membership, Plan, ScrambleSet
from training.selectors.accounts import accounts_of
from training.selectors.clubs import membership_in
from training.selectors.lessons import fitting_lengths
from training.selectors.reviewed_sets import sets_in_review
from training.selectors.reviews import TECHNIQUES, WEEKS, first_monday
from training.selectors.set_heads import SetHead, head_of, load_named
from training.statistics import Tally

MOST_GIVEN = 10
"""So many of a member's homeworks are listed, the newest."""


@dataclass(frozen=True, slots=True)
class IdeaCost:
    """What an idea cost a member, in points as the tables charge; ``tally``: answered of called."""

    code: str
    points: Fraction
    tally: Tally


@dataclass(frozen=True, slots=True)
class GivenHomework:
    """Homework that a member has alone. ``handed_in``: how many of its crosses are planned."""

    head: SetHead
    code: str
    wanted: int
    handed_in: int
    opened: bool


@dataclass(frozen=True, slots=True)
class HomeworkForOne:
    """The evidence for a member's homework, over the last ``weeks`` weeks.

    ``costs``: all ideas, the dearest first; ``dearest``: the one that cost most,
    None where none cost anything. ``lengths``: fitted to the member's own plans.
    """

    member: Membership
    weeks: int
    account: Account
    costs: tuple[IdeaCost, ...]
    dearest: IdeaCost | None
    lengths: tuple[int, int]
    given: tuple[GivenHomework, ...]


def homework_for_one(viewer: Membership, membership_id: int, now: datetime) -> HomeworkForOne:
    """Raises Sealed for no coach, and for nobody of the club."""
    visibility.require_group(viewer)
    member = visibility.require_review(viewer, membership_in(viewer.club, membership_id))
    monday = first_monday(viewer, now, WEEKS)
    since = clock.local_to_utc(monday, clock.MIDNIGHT, viewer.club.zone)
    sets = sets_in_review(viewer, since, now)
    account = accounts_of([member], sets)[member.pk]
    costs = sorted(
        (
            IdeaCost(code, account.of_heading(code), account.tallies.get(code, Tally(0, 0)))
            for code in TECHNIQUES
        ),
        key=lambda one: -one.points,
    )
    return HomeworkForOne(
        member=member,
        weeks=WEEKS,
        account=account,
        costs=tuple(costs),
        dearest=costs[0] if costs and costs[0].points else None,
        lengths=fitting_lengths(sets, of=[member]),
        given=_given(viewer, member, now),
    )


def _given(viewer: Membership, member: Membership, now: datetime) -> tuple[GivenHomework, ...]:
    own = ScrambleSet.objects.lessons().filter(for_member=member)
    found = list(own.order_by("-opens_at")[:MOST_GIVEN])
    load_named(found)
    planned = Plan.objects.filter(membership=member, scramble__scramble_set__in=found)
    plans = list(planned.values_list("scramble__scramble_set_id", flat=True))
    for one in found:
        one.club = viewer.club
    return tuple(
        GivenHomework(
            head=head_of(one, now),
            code=str((one.profile or {}).get("technique")),
            wanted=one.scrambles_wanted,
            handed_in=plans.count(one.pk),
            opened=one.opens_at <= now,
        )
        for one in found
    )
