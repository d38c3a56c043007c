"""Who may know what of sets to come. Beside :mod:`training.visibility`, whose rules go on here.

Of a set that has not opened nobody sees anything. That one of a kind comes, and when, is
known to those whose it will be; what it is to hold, to the coaches who plan it.
"""

from __future__ import annotations

from datetime import datetime

from django.db.models import Q

from training.clock import Window
from training.models import LESSON_KINDS, Membership, ScrambleSet, Series
from training.models.sets import ScrambleSetQuerySet
from training.rights import may_coach
from training.visibility import Sealed, group_sets_for


def sees_series(viewer: Membership, series: Series, window: Window) -> bool:
    """Whether ``viewer`` may know that a series of the own club has a set over ``window``.

    A coach of every one; others of those that will be theirs to plan, as things
    stand (:func:`training.belonging.is_given`).
    """
    if series.club_id != viewer.club_id:
        return False
    groups = {one.pk for one in series.groups.all()}
    return (
        not groups
        or may_coach(viewer)
        or any(
            one.group_id in groups and one.holds(window.opens_at, window.closes_at)
            for one in viewer.group_times.all()
        )
    )


def require_series(viewer: Membership, series: Series, window: Window) -> None:
    """Raise Sealed unless :func:`sees_series`."""
    if not sees_series(viewer, series, window):
        raise Sealed


def announced_sets(viewer: Membership, now: datetime) -> ScrambleSetQuerySet:
    """Sets to come that somebody gave, of which ``viewer`` may know the kind and the times."""
    mine = Q(for_member__isnull=True) | Q(for_member=viewer, kind__in=LESSON_KINDS)
    given = ScrambleSet.objects.filter(mine, group_sets_for(viewer), series__isnull=True)
    return given.filter(club=viewer.club_id).to_come(now)


def sees_sealed_plan(viewer: Membership) -> bool:
    """Whether ``viewer`` may know more of a set to come than its kind and its times.

    A coach plans it; one who competes is held to what members read.
    """
    return may_coach(viewer) and not viewer.competes


def require_sealed_plan(viewer: Membership) -> None:
    """Raise Sealed unless :func:`sees_sealed_plan`."""
    if not sees_sealed_plan(viewer):
        raise Sealed
