"""Periods for memberships that tests and benches make by themselves."""

from __future__ import annotations

from collections.abc import Iterable

from training.models import CountingPeriod, Membership, Standing


def count_from_joining(*memberships: Membership) -> list[CountingPeriod]:
    """Let who competes with an open account count from joining on, as if signed in then."""
    return CountingPeriod.objects.bulk_create(_periods(memberships), 5000)


def _periods(memberships: Iterable[Membership]) -> list[CountingPeriod]:
    return [
        CountingPeriod(membership=one, begins_at=one.joined_at)
        for one in memberships
        if one.competes and one.standing == Standing.ACTIVE
    ]
