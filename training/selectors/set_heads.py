"""What every page says about a set: its title, its times, its rules."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import prefetch_related_objects
from django.utils.dates import WEEKDAYS
from django.utils.text import get_text_list
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from training import clock, policies
from training.belonging import load_groups
from training.models import Challenge, Kind, ScrambleSet
from training.rules import SetRules

_TITLES = {
    Kind.DAILY: _("{weekday}’s set"),
    Kind.HOMEWORK: _("Homework from {weekday}"),
    Kind.CLUB_NIGHT: _("{weekday}’s club night"),
    Kind.CHALLENGE: _("Weekly challenge from {weekday}"),
    Kind.PRACTICE: _("{weekday}’s practice"),
}
_NTH = {
    Kind.DAILY: _("{weekday}’s set {nth}"),
    Kind.HOMEWORK: _("Homework {nth} from {weekday}"),
    Kind.CLUB_NIGHT: _("{weekday}’s club night {nth}"),
    Kind.CHALLENGE: _("Weekly challenge {nth} from {weekday}"),
}
"""The second of a day and more: :attr:`training.models.ScrambleSet.nth`."""

_OWN, _OWN_NTH = _("Own homework from {weekday}"), _("Own homework {nth} from {weekday}")
"""What one member has alone. Its title names nobody: a coach may show it to all."""


@dataclass(frozen=True, slots=True)
class SetHead(SetRules):
    """A set without its scrambles: its rules, its title, its times.

    ``is_open`` and ``has_closed``: as of the moment asked. ``taken_out``: it
    counts for nobody; ``of_member``: it is one member's own, practice, homework or
    ``again_of`` a set. ``groups``: the names of those that it is for; none: everybody.
    ``closed_to_reader``: it is open longer, for others alone.
    """

    id: int
    title: str
    kind: str
    drawn: str
    draw_method: str
    day: date
    closing_day: date
    opens_at: datetime
    closes_at: datetime
    is_open: bool
    has_closed: bool
    finished: bool
    taken_out: bool
    of_member: bool
    again_of: int | None
    groups: tuple[str, ...]
    closed_to_reader: bool = False


def head_of(scramble_set: ScrambleSet, now: datetime) -> SetHead:
    """The head of a set whose club is loaded. Up to two queries, none after `load_named`."""
    rules = scramble_set.rules
    return SetHead(
        **{name: getattr(rules, name) for name in SetRules.__slots__},
        id=scramble_set.pk,
        title=title_of(scramble_set),
        kind=scramble_set.kind,
        drawn=scramble_set.drawn,
        draw_method=scramble_set.draw_method,
        day=scramble_set.day,
        closing_day=clock.closing_day(scramble_set.due_at, scramble_set.club.zone),
        opens_at=scramble_set.opens_at,
        closes_at=scramble_set.closes_at,
        is_open=policies.is_open(scramble_set, now),
        has_closed=policies.has_closed(scramble_set, now),
        finished=scramble_set.finished_at is not None,
        taken_out=scramble_set.taken_out,
        of_member=scramble_set.for_member_id is not None,
        again_of=scramble_set.again_of_id,
        groups=tuple(one.name for one in scramble_set.groups.all()),
    )


def load_named(sets: Iterable[ScrambleSet]) -> None:
    """Load for which groups some sets are and what challenges are called, before their heads.

    One query, one more where a challenge is among them, two more where a set that is planned
    again afterwards is.
    """
    found = list(sets)
    load_groups(found)
    challenges = [one for one in found if one.kind == Kind.CHALLENGE]
    prefetch_related_objects(challenges, "challenge")
    again = [one for one in found if one.kind == Kind.AFTERWARDS]
    if again:
        prefetch_related_objects(again, "again_of")
        load_named([one.again_of for one in again if one.again_of is not None])


def title_of(scramble_set: ScrambleSet) -> str:
    """What people call the set, so that no two of a day share a name.

    A challenge as it was announced; what is for groups with their names; the second of a day for
    the same people with its number. Up to three queries, none after :func:`load_named`.
    """
    again_of = scramble_set.again_of
    if again_of is not None:
        return gettext("{set}, afterwards").format(set=title_of(again_of))
    kind, nth = Kind(scramble_set.kind), scramble_set.nth
    if kind == Kind.CHALLENGE:
        try:
            return challenge_title(scramble_set.challenge.name, scramble_set.challenge.number)
        except Challenge.DoesNotExist:
            pass  # A set of that kind alone, which nobody announced.
    if kind == Kind.PRACTICE:
        said = _TITLES[kind]
    elif scramble_set.for_member_id is not None:
        said = _OWN if nth == 1 else _OWN_NTH
    else:
        said = _TITLES[kind] if nth == 1 else _NTH[kind]
    title = said.format(weekday=WEEKDAYS[scramble_set.day.weekday()], nth=nth)
    groups = [one.name for one in scramble_set.groups.all()]
    if not groups:
        return title
    return gettext("{set} for {groups}").format(
        set=title, groups=get_text_list(groups, gettext("and"))
    )


def title_beside_day(title: str, day: date) -> str:
    """The title of a set where its day stands in any case: empty for the club's first of the day.

    >>> title_beside_day("Tuesday’s set", date(2026, 11, 24))
    ''
    >>> title_beside_day("Tuesday’s club night", date(2026, 11, 24))
    'Tuesday’s club night'
    """
    plain = _TITLES[Kind.DAILY].format(weekday=WEEKDAYS[day.weekday()])
    return "" if title == plain else title


def challenge_title(name: str, number: int) -> str:
    """What a challenge is called.

    >>> challenge_title("", 7), challenge_title("Snow", 7)
    ('Weekly challenge 7', 'Snow')
    """
    return name or gettext("Weekly challenge {number}").format(number=number)
