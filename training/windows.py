"""Own windows: may this member still plan in a set that is open longer for some? Beside policies.

A set kept open for some closes for everybody else when it was to close. Everything that waits
for its closing (answers, tables, what a missing plan counts, reviews) waits for the last window.
Who plans at another hour finds the set sealed until it begins for them: its crosses, its answers,
its table. None of that reached them before, or they could not be given another hour.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime

from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext as _

from training import policies
from training.models import Membership, OwnWindow, ScrambleSet
from training.refusals import SetClosed

IN_FORCE = Q(correction__in_force=True, correction__undoes__isnull=True)
"""For a filter of own windows: those whose entry has not been taken back."""


def waits_for_own(membership_id: int, now: datetime) -> Q:
    """For a filter of sets: those that a membership's own window is still to open."""
    mine = OwnWindow.objects.filter(IN_FORCE, correction__scramble_set=OuterRef("pk"))
    to_come = mine.filter(membership=membership_id, opens_at__gt=now)
    # Few sets are ever kept open: the others are not looked at.
    return Q(kept_open_from__isnull=False) & Q(Exists(to_come))


def is_to_begin(membership_id: int, scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether one set is such a set. One query where it is kept open, none else."""
    if scramble_set.kept_open_from is None:
        return False
    found = ScrambleSet.objects.filter(waits_for_own(membership_id, now), pk=scramble_set.pk)
    return found.exists()


def named_for(sets: Iterable[ScrambleSet], now: datetime) -> dict[int, frozenset[int]]:
    """For whom alone sets are still open, by set; only sets of which that is so.

    One query where a set is open beyond its time, none else.
    """
    late = [
        one.pk
        for one in sets
        if one.kept_open_from is not None
        and one.kept_open_from <= now
        and policies.is_open(one, now)
    ]
    found: dict[int, set[int]] = defaultdict(set)
    if late:
        rows = OwnWindow.objects.filter(IN_FORCE, correction__scramble_set__in=late)
        for set_id, member in rows.values_list("correction__scramble_set", "membership"):
            found[set_id].add(member)
    return {set_id: frozenset(members) for set_id, members in found.items()}


def may_still_plan(membership: Membership, scramble_set: ScrambleSet, now: datetime) -> bool:
    """Whether a member may hand in: the set is open, and not for others alone."""
    if not policies.is_open(scramble_set, now):
        return False
    named = named_for([scramble_set], now).get(scramble_set.pk)
    return named is None or membership.pk in named


def require_still_plan(membership: Membership, scramble_set: ScrambleSet, now: datetime) -> None:
    """Raise SetClosed unless :func:`may_still_plan`."""
    policies.require_open(scramble_set, now)
    if not may_still_plan(membership, scramble_set, now):
        raise SetClosed(
            _(
                "This set has closed for you, so the plan was not handed in. It is open longer "
                "for somebody else."
            ),
            field="plan",
        )
