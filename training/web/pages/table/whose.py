"""Of which sets a group's table is, and how an address says it."""

from __future__ import annotations

from dataclasses import replace

from django.utils.translation import gettext as _

from training.selectors.tables import GroupAsked
from training.web.navigation import Link

OWN_SETS = "own"
"""In an address: that a group's table is of the sets that were for the group."""


def query_of(asked: GroupAsked | None) -> str:
    if asked is None:
        return ""
    return f"?group={asked.group.pk}" + f"&sets={OWN_SETS}" * asked.own_sets


def set_links(asked: GroupAsked | None) -> tuple[Link, ...]:
    """Of which sets a group's table is: of everybody's or of the group's own."""
    if asked is None:
        return ()
    own = replace(asked, own_sets=True)
    return (
        Link(_("Sets for everybody"), query_of(replace(asked, own_sets=False)), not asked.own_sets),
        Link(_("Sets for {group}").format(group=asked.group.name), query_of(own), asked.own_sets),
    )
