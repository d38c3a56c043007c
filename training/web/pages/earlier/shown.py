"""Earlier days laid out: the sets of a month, and the ways to other months."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.models import Membership
from training.selectors.earlier import EarlierSet, EarlierSets
from training.visibility import sees_group
from training.web.navigation import Link
from training.web.parts.set_cards import table_href
from training.web.saying.counting import count
from training.web.saying.rates import of
from training.web.saying.times import Said, say, say_date, say_month


@dataclass(frozen=True, slots=True)
class EarlierShown:
    """A set in the list. ``ways``: to its plans and its table, as far as they are open."""

    title: str
    day: str
    href: str
    verb: str
    when: Said
    facts: str
    ways: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class EarlierPage:
    """What ``pages/earlier/earlier.html`` needs; ``empty``: why no set stands here."""

    month: str
    sets: tuple[EarlierShown, ...]
    around: tuple[Link, ...]
    empty: str


def show_earlier(
    viewer: Membership, found: EarlierSets, now: datetime, *, kind: str, group: int | None
) -> EarlierPage:
    """Lay out a month of sets."""
    today = clock.local_date(now, viewer.club.zone)
    some = bool(kind) or group is not None
    empty = _("No such set closed in {month}.") if some else _("No set closed in {month}.")
    return EarlierPage(
        month=say_month(found.month, today),
        sets=tuple(_set(viewer, one, now, today) for one in found.sets),
        around=tuple(
            Link(words.format(month=say_month(one, today)), _href(viewer, one, kind, group), False)
            for words, one in (
                (_("Later: {month}"), found.after),
                (_("Earlier: {month}"), found.before),
            )
            if one is not None
        ),
        empty=""
        if found.sets
        else _("This club has had no set yet.")
        if found.last is None
        else empty.format(month=say_month(found.month, today)),
    )


def months_between(found: EarlierSets) -> list[date]:
    """The months from the last with a set back to the first, and the one that is shown."""
    if found.first is None or found.last is None:
        return [found.month]
    months, month = [], max(found.last, found.month)
    while month >= min(found.first, found.month):
        months.append(month)
        month = (month - timedelta(days=1)).replace(day=1)
    return months


def _href(viewer: Membership, month: date, kind: str, group: int | None) -> str:
    asked = {"month": f"{month:%Y-%m}"}
    if kind:
        asked["kind"] = kind
    if group is not None:
        asked["group"] = str(group)
    return f"{reverse('earlier', args=[viewer.club.slug])}?{urlencode(asked)}"


def _set(viewer: Membership, one: EarlierSet, now: datetime, today: date) -> EarlierShown:
    slug, head = viewer.club.slug, one.head
    ways = []
    if sees_group(viewer):
        plans = reverse("coach_set", args=[slug, head.id])
        ways.append(Link(_("Everybody’s plans"), plans, False))
    if one.table_open and not head.of_member:
        ways.append(Link(_("Table"), table_href(slug, head), False))
    if one.again is not None:
        again = reverse("set", args=[slug, one.again])
        ways.append(Link(_("Your plans afterwards"), again, False))
    return EarlierShown(
        title=head.title,
        day=say_date(head.day, today),
        href=reverse("set", args=[slug, head.id]),
        verb=_("closed") if head.has_closed else _("closes"),
        when=say(head.closes_at, now, viewer.club.zone),
        facts=_facts(one),
        ways=tuple(ways),
    )


def _facts(one: EarlierSet) -> str:
    said = []
    if one.members is not None and one.plans is not None:
        said.append(
            _("{plans} by {members}").format(
                plans=count(one.plans, "plan"), members=count(one.members, "member")
            )
            if one.plans
            else _("no plans")
        )
    if one.own or one.members is None:
        said.append(_("{own} planned by you").format(own=of(one.own, one.scrambles)))
    if one.head.taken_out:
        said.append(_("counts for nobody"))
    return " · ".join(said)
