"""Whose table is read: everybody's or a group's, and the ways between them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from training.models import Group, Membership
from training.selectors.tables import GroupAsked, group_asked
from training.visibility import tables_of_groups


@dataclass(frozen=True, slots=True)
class GroupTab:
    """A way to the table of everybody or of a group."""

    text: str
    href: str
    current: bool


@dataclass(frozen=True, slots=True)
class WhoseTable:
    """Whose table is asked for (None: everybody's), and of which groups it could be."""

    asked: GroupAsked | None
    groups: tuple[Group, ...]

    @property
    def group(self) -> Group | None:
        """The group whose table it is; None: everybody's."""
        return self.asked.group if self.asked else None


def whose_table(
    viewer: Membership, number: int, now: datetime, *, own_sets: bool = False
) -> WhoseTable:
    """``number``: the group that is asked for, 0 for none. Raises Sealed for another's."""
    asked = group_asked(viewer, number, now, own_sets=own_sets) if number else None
    return WhoseTable(asked, tuple(tables_of_groups(viewer, now)))


def group_links(whose: WhoseTable) -> tuple[GroupTab, ...]:
    """The ways to the table of everybody and of each group; none where there is no group."""
    if not whose.groups:
        return ()
    here = whose.group.pk if whose.group else None
    return (
        GroupTab(_("Everybody"), "?", here is None),
        *(GroupTab(one.name, f"?group={one.pk}", one.pk == here) for one in whose.groups),
    )


def group_rule(group: Group | None) -> str:
    """Who stands in a group's table; empty for everybody's."""
    if group is None:
        return ""
    return _(
        "In this table stand those who belonged to {group} all the while that a set was open."
    ).format(group=group.name)
