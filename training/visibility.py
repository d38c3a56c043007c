"""Who may see which set, plan, answer and table: the only place that says so.

Everything is computed from stored instants at the time of asking. What is
sealed looks like what does not exist: callers answer both with the same 404.
Each rule answers a question; the ones named ``require_…`` raise instead.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q, QuerySet

from training.models import Membership, ScrambleSet, Sight, Standing


class Sealed(Exception):
    """Not there, for this person, at this time. Never says which of the two."""


@dataclass(frozen=True, slots=True)
class OwnPlans:
    """Which scrambles of a set the viewer has handed in a plan for."""

    numbers: frozenset[int]
    scrambles: int

    @property
    def all_in(self) -> bool:
        return len(self.numbers) >= self.scrambles


def is_open_account(membership: Membership) -> bool:
    """Whether the membership lets its person in."""
    return membership.standing == Standing.ACTIVE and membership.person.is_active


def has_opened(scramble_set: ScrambleSet, now: datetime) -> bool:
    """From the moment it opens a set is there, for coaches no earlier than for others (WCA 4b2)."""
    return scramble_set.opens_at <= now


def sees_set(viewer: Membership, scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether a set is there for ``viewer``: own club, opened, and nobody else's practice."""
    mine = scramble_set.for_member_id in {None, viewer.pk}
    return mine and scramble_set.club_id == viewer.club_id and has_opened(scramble_set, now)


def visible_sets(viewer: Membership, now: datetime) -> QuerySet[ScrambleSet]:
    """All sets for which :func:`sees_set` is true."""
    return ScrambleSet.objects.filter(
        Q(for_member=None) | Q(for_member=viewer), club=viewer.club, opens_at__lte=now
    )


def shared_sets(viewer: Membership, now: datetime) -> QuerySet[ScrambleSet]:
    """The opened sets that the whole club has, so without anybody's own practice."""
    return ScrambleSet.objects.filter(for_member=None, club=viewer.club, opens_at__lte=now)


def is_open(scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether plans may be handed in."""
    return scramble_set.opens_at <= now < scramble_set.closes_at


def has_closed(scramble_set: ScrambleSet, now: datetime) -> bool:
    return scramble_set.closes_at <= now


def in_sealed_mode(viewer: Membership, scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether a coach is held to the members' view of a set: one who competes, until it closes."""
    return viewer.is_coach and viewer.competes and not has_closed(scramble_set, now)


def sees_answers(
    viewer: Membership, scramble_set: ScrambleSet, number: int, own: OwnPlans, now: datetime
) -> bool:
    """Whether best, excess, ledger and shortest solutions of one scramble are open."""
    if not sees_set(viewer, scramble_set, now):
        return False
    if viewer.is_coach and not in_sealed_mode(viewer, scramble_set, now):
        return True
    return _sight_allows(
        Sight(scramble_set.answers_to), number in own.numbers, viewer, scramble_set, now
    )


def sees_table(viewer: Membership, scramble_set: ScrambleSet, own: OwnPlans, now: datetime) -> bool:
    """Whether the table of a set is open to ``viewer``.

    Never before the answers of all its scrambles: excess and moves together
    give the best away.
    """
    if not sees_set(viewer, scramble_set, now):
        return False
    if viewer.is_coach and not in_sealed_mode(viewer, scramble_set, now):
        return True
    answers = all(
        sees_answers(viewer, scramble_set, number, own, now)
        for number in range(1, own.scrambles + 1)
    )
    return answers and _sight_allows(
        Sight(scramble_set.table_to), own.all_in, viewer, scramble_set, now
    )


def sees_others_plans(
    viewer: Membership, scramble_set: ScrambleSet, own: OwnPlans, now: datetime
) -> bool:
    """Whether the plans of others are open to ``viewer``: to coaches alone.

    A coach who competes reads them once all own plans of the set are in.
    """
    if not viewer.is_coach or not sees_set(viewer, scramble_set, now):
        return False
    return not in_sealed_mode(viewer, scramble_set, now) or own.all_in


def _sight_allows(
    sight: Sight, own_in: bool, viewer: Membership, scramble_set: ScrambleSet, now: datetime
) -> bool:
    if sight == Sight.OPEN:
        return True
    if sight == Sight.COACHES:
        # A coach in sealed mode gets there by handing in, as under "own plan".
        return viewer.is_coach and (own_in or has_closed(scramble_set, now))
    if has_closed(scramble_set, now):
        return True
    return sight == Sight.OWN_PLAN and own_in
