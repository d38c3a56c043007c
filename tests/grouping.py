"""Groups for memberships that tests and benches make by themselves."""

from __future__ import annotations

from datetime import datetime

from training.models import Club, Group, GroupTime, Membership


def group_named(club: Club, name: str) -> Group:
    """The club's group of that name, made where it is not there."""
    return Group.objects.get_or_create(club=club, name=name)[0]


def put_in(
    group: Group | str,
    *memberships: Membership,
    since: datetime | None = None,
    until: datetime | None = None,
) -> Group:
    """Let some belong to a group, from joining on or since an instant."""
    if isinstance(group, str):
        group = group_named(memberships[0].club, group)
    for one in memberships:
        GroupTime.objects.create(
            membership=one, group=group, begins_at=since or one.joined_at, ends_at=until
        )
    return group
