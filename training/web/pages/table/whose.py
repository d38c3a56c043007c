"""Whose table is read: everybody's or a group's, and the ways between them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from training.models import Group
from training.selectors.tables import GroupAsked
from training.web.navigation import Link

OWN_SETS = "own"
"""In an address: that a group's table is of the sets that were for the group."""


@dataclass(frozen=True, slots=True)
class WhoseTable:
    """Whose table is asked for (None: everybody's), and of which groups it could be."""

    asked: GroupAsked | None
    groups: tuple[Group, ...]


def query_of(asked: GroupAsked | None) -> str:
    if asked is None:
        return ""
    return f"?group={asked.group.pk}" + f"&sets={OWN_SETS}" * asked.own_sets


def group_links(whose: WhoseTable) -> tuple[Link, ...]:
    """The ways to the table of everybody and of each group; none where there is no group."""
    if not whose.groups:
        return ()
    here = whose.asked.group.pk if whose.asked else None
    return (
        Link(_("Everybody"), "?", here is None),
        *(Link(one.name, f"?group={one.pk}", one.pk == here) for one in whose.groups),
    )


def set_links(asked: GroupAsked | None) -> tuple[Link, ...]:
    """Of which sets a group's table is: of everybody's or of the group's own."""
    if asked is None:
        return ()
    own = replace(asked, own_sets=True)
    return (
        Link(_("Sets for everybody"), query_of(replace(asked, own_sets=False)), not asked.own_sets),
        Link(_("Sets for {group}").format(group=asked.group.name), query_of(own), asked.own_sets),
    )
