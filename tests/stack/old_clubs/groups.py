"""A club of before belonging to a group had times."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from tests.stack.old_clubs.old import Old

BEFORE = "0033"


def fill(old: Old) -> None:
    of = old.of
    # By the club's calendar, in Oslo, this is the 25th.
    joined = datetime(2026, 11, 24, 23, 30, tzinfo=UTC)
    club = of("Club").objects.create(name="Group Lane", slug="group-lane", time_zone="Europe/Oslo")
    swifts, larks = (
        of("Group").objects.create(club=club, name=name) for name in ("Swifts", "Larks")
    )
    for number, groups in enumerate(([swifts], [larks, swifts], [])):
        person = of("Person").objects.create(sign_in_name=f"g{number}", password="!")
        who = of("Membership").objects.create(
            club=club, person=person, display_name=f"M{number}", joined_at=joined
        )
        for one in groups:
            who.groups.add(one)


def found_before(old: Old) -> list[Any]:
    """Each member's groups in the shape of before."""
    members = old.of("Membership").objects.filter(club__slug="group-lane")
    return [[group.name for group in one.groups.all()] for one in members.order_by("display_name")]


def found() -> list[Any]:
    """Who belongs to what, and from when to when."""
    from training.models import GroupTime

    times = GroupTime.objects.filter(membership__club__slug="group-lane")
    return [
        f"{one.membership.display_name} {one.group.name} {one.begins_at.isoformat()} {one.ends_at}"
        for one in times.order_by("membership__display_name")
    ]
