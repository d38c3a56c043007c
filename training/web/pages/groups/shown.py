"""A club's groups laid out for its coaches, and what a move would change, in sentences."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from training import clock
from training.models import Membership
from training.selectors.group_moves import ChangedSet, MovedMember, MovePreview
from training.selectors.groups import GroupMember, Groups, GroupView, Spell
from training.web.navigation import Link
from training.web.pages.groups.forms import GroupNameForm
from training.web.saying.counting import count, listed
from training.web.saying.times import say_date, say_day


@dataclass(frozen=True, slots=True)
class GroupShown:
    """A group: who is in it, with what is noted for later, and where its tables and review are.

    ``form``: to rename it; ``may_go``: nobody belongs to it, now or later.
    """

    id: int
    name: str
    about: str
    members: tuple[str, ...]
    links: tuple[Link, ...]
    form: GroupNameForm
    may_go: bool


@dataclass(frozen=True, slots=True)
class PreviewOfMove:
    """What a move changes, in sentences. ``nothing``: nothing would change."""

    heading: str
    members: tuple[str, ...]
    sets: tuple[str, ...]
    stays: str
    nothing: bool


@dataclass(frozen=True, slots=True)
class GroupsShown:
    """What ``pages/groups/groups.html`` needs beside its two forms."""

    groups: tuple[GroupShown, ...]
    put_away: tuple[GroupShown, ...]
    nowhere: tuple[str, ...]
    preview: PreviewOfMove | None


def show_groups(
    viewer: Membership,
    found: Groups,
    now: datetime,
    *,
    preview: MovePreview | None = None,
    refused: GroupNameForm | None = None,
) -> GroupsShown:
    """Lay out the groups; ``refused``: the form of a name that could not be."""
    today = clock.local_date(now, viewer.club.zone)
    shown = [(one, _group(viewer, one, today, refused)) for one in found.groups]
    return GroupsShown(
        groups=tuple(group for one, group in shown if one.in_use),
        put_away=tuple(group for one, group in shown if not one.in_use),
        nowhere=tuple(_member(one, today) for one in found.nowhere),
        preview=show_preview(preview, today) if preview is not None else None,
    )


def people_to_move(found: Groups) -> list[tuple[int, str]]:
    """Everybody who can be moved, with the group of today, by group."""
    said = [
        (one.id, _("{name}, {group}").format(name=one.name, group=group.name))
        for group in found.groups
        for one in group.members
    ]
    return [
        *said,
        *((one.id, _("{name}, in no group").format(name=one.name)) for one in found.nowhere),
    ]


def _group(
    viewer: Membership, one: GroupView, today: date, refused: GroupNameForm | None
) -> GroupShown:
    prefix = f"group-{one.id}"
    form = GroupNameForm(prefix=prefix, initial={"name": one.name})
    if refused is not None and refused.prefix == prefix:
        form = refused
    about = [count(len(one.members), "member")]
    if one.own_sets:
        about.append(_("{sets} of its own").format(sets=count(one.own_sets, "set")))
    slug = viewer.club.slug
    links = [
        Link(_("Table"), f"{reverse('table_week', args=[slug, today])}?group={one.id}", False),
        Link(_("Review"), f"{reverse('coach_review', args=[slug])}?group={one.name}", False),
    ]
    return GroupShown(
        id=one.id,
        name=one.name,
        about=" · ".join(about),
        members=tuple(_member(each, today) for each in one.members),
        links=tuple(links if one.in_use else links[:1]),
        form=form,
        may_go=one.empty,
    )


def _member(one: GroupMember, today: date) -> str:
    """A member by name, with until when, or from when, where that is noted."""
    notes = []
    if one.group is not None and one.group.until is not None:
        notes.append(_("until {day}").format(day=say_date(one.group.until, today)))
    notes += [_later(spell, today) for spell in one.to_come]
    if not notes:
        return one.name
    return _("{name} ({notes})").format(name=one.name, notes=", ".join(notes))


def _later(spell: Spell, today: date) -> str:
    return _("{group} from {day}").format(group=spell.group, day=say_date(spell.since, today))


# What would change ---------------------------------------------------------------------


def show_preview(found: MovePreview, today: date) -> PreviewOfMove:
    """A move in sentences, before it is saved."""
    changing = [one for one in found.members if one.changes]
    staying = [one.name for one in found.members if not one.changes]
    day = say_day(found.from_day, today)
    members = [_moved(one, found.group) for one in changing]
    if staying:
        words = _("Nothing changes for {names}.").format(names=listed(staying))
        members.append(words)
    sets = [sentence for one in found.sets for sentence in _set(one, today)]
    if found.more_sets:
        sets.append(
            ngettext(
                "And {number} earlier set in the same way.",
                "And {number} earlier sets in the same way.",
                found.more_sets,
            ).format(number=found.more_sets)
        )
    if not sets and changing:
        sets = [_("No set of a group changes hands.")]
    return PreviewOfMove(
        heading=_("From {day} on:").format(day=day),
        members=tuple(members),
        sets=tuple(sets),
        stays=_(
            "The club’s own tables stay as they are. Results of sets that lie before that day "
            "stay with the old group."
        ),
        nothing=not changing,
    )


def _moved(one: MovedMember, group: str) -> str:
    if not group:
        said = _("{name} belongs to no group any more, after {before}.")
        if not one.before:
            said = _("{name} belongs to no group.")
    elif not one.before:
        said = _("{name} belongs to {group}.")
    elif one.before == group:
        said = _("{name} goes on belonging to {group}.")
    else:
        said = _("{name} belongs to {group}, no longer to {before}.")
    words = said.format(name=one.name, group=group, before=one.before)
    if one.replaced:
        noted = _("What was noted for later, {groups}, falls away.")
        words = f"{words} {noted.format(groups=listed(one.replaced))}"
    return words


def _set(one: ChangedSet, today: date) -> Iterable[str]:
    title = _("{set} ({day})").format(set=one.head.title, day=say_date(one.head.day, today))
    if one.gain:
        yield _gained(one).format(set=title, names=listed(one.gain))
    if one.lose:
        yield _lost(one).format(set=title, names=listed(one.lose))
    if one.kept:
        yield _(
            "What {names} handed in for it stays, may be finished, and stands without a rank."
        ).format(names=listed(one.kept))


def _gained(one: ChangedSet) -> str:
    if one.to_come:
        return _("{set} is still to come: {names} will be given it too.")
    if one.head.has_closed:
        return _("{set} has closed: it counts for {names} now, a missing plan 8.")
    return _("{set} is open: {names} can plan it now, and it counts.")


def _lost(one: ChangedSet) -> str:
    if one.to_come:
        return _("{set} is still to come: {names} will not be given it.")
    if one.head.has_closed:
        return _("{set} has closed: it no longer counts for {names}.")
    return _("{set} is open: {names} cannot begin it any more, and it does not count.")
