"""Members and ideas: the group review's largest table, sorted by any column without script."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _

from training.headings import name_of
from training.selectors.group_reviews import GroupReview, MemberLine
from training.selectors.reviews import TECHNIQUES, TechniqueLine
from training.web.parts.rate import RateShown, show_rate
from training.web.saying.ideas import idea_name
from training.web.saying.rates import flag_words, of
from training.yardsticks import Flag

BY_MEMBER, BY_SOLVED, BY_LOST, BY_REACH = "member", "solved", "lost", "reach"
_MOST_FIRST = (BY_SOLVED, BY_LOST, BY_REACH)
"""Names read upwards at first; of these the most are wanted first."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column's head, which sorts by it. ``sorted`` is what aria-sort says; ``arrow`` shows it."""

    name: str
    href: str
    sorted: str
    arrow: str
    numeric: bool


@dataclass(frozen=True, slots=True)
class MarkedTally:
    """One cell of members × ideas. ``flag`` is empty while there is not enough evidence."""

    idea: str
    count: str
    flag: str
    needs_work: bool


@dataclass(frozen=True, slots=True)
class MemberReviewed:
    """One member."""

    member: str
    href: str
    solved: str
    lost: int
    reach: str
    first: str
    cells: tuple[MarkedTally, ...]


@dataclass(frozen=True, slots=True)
class GroupReviewed:
    """The line of the whole group; ``rates``: with the idea of each."""

    solved: str
    lost: int
    rates: tuple[tuple[str, RateShown], ...]


def sort_keys() -> tuple[str, ...]:
    """What the members can be sorted by; a minus before it turns the order about."""
    return (BY_MEMBER, BY_SOLVED, BY_LOST, BY_REACH, *TECHNIQUES)


def in_order(members: Sequence[MemberLine], sort: str) -> list[MemberLine]:
    """Members by one column. Those without any evidence of an idea come last either way.

    By an idea, the surest come first: whose upper limit is lowest, or turned
    about, whose lower limit is highest. Few plans have wide limits, so they
    stand between.
    """
    down = sort.startswith("-")
    name = sort.removeprefix("-")
    by_name = sorted(members, key=lambda one: one.member.casefold())
    if name == BY_MEMBER:
        return by_name[::-1] if down else by_name
    if name in TECHNIQUES:
        place = TECHNIQUES.index(name)
        return sorted(by_name, key=lambda one: _by_limit(one.techniques[place], down))
    sign = -1 if down else 1
    return sorted(by_name, key=lambda one: sign * _sizes(one)[name])


def _sizes(one: MemberLine) -> dict[str, int]:
    return {BY_SOLVED: one.solved, BY_LOST: one.lost, BY_REACH: one.account.reach.reach or 0}


def _by_limit(line: TechniqueLine, down: bool) -> tuple[bool, float]:
    if line.interval is None:
        return True, 0.0
    return False, -line.interval.low if down else line.interval.high


def show_columns(sort: str, asked: Mapping[str, str]) -> tuple[Column, ...]:
    """The heads of the table; ``asked`` are the filters, which their addresses keep."""
    names = {BY_MEMBER: _("member"), BY_SOLVED: _("solved"), BY_LOST: _("moves lost")}
    names[BY_REACH] = _("reach")
    columns = []
    for key in sort_keys():
        first = f"-{key}" if key in _MOST_FIRST else key
        other = key if first.startswith("-") else f"-{key}"
        here = sort.removeprefix("-") == key
        down = sort.startswith("-")
        query = urlencode({**asked, "sort": other if sort == first else first})
        columns.append(
            Column(
                name=names.get(key) or idea_name(key),
                href=f"?{query}#members",
                sorted=("descending" if down else "ascending") if here else "",
                arrow=("↓" if down else "↑") if here else "",
                numeric=key in _MOST_FIRST,
            )
        )
    return tuple(columns)


def show_member(one: MemberLine, slug: str) -> MemberReviewed:
    """A member's line, which leads to the member's progress."""
    return MemberReviewed(
        member=one.member,
        href=reverse("coach_member", args=[slug, one.membership_id]),
        solved=of(one.solved, one.plans),
        lost=one.lost,
        reach=_reach(one),
        first=name_of(one.first) if one.first else "",
        cells=tuple(_marked(line) for line in one.techniques),
    )


def _reach(one: MemberLine) -> str:
    """How many moves before the end half the solved plans are shortest; as far as plans tell."""
    reach = one.account.reach
    if reach.reach is None or not reach.shown:
        return ""
    return str(reach.reach) if reach.reach <= reach.shown else f"{reach.shown}+"


def _marked(line: TechniqueLine) -> MarkedTally:
    known = line.flag != Flag.UNKNOWN
    return MarkedTally(
        idea=idea_name(line.code),
        count=of(line.tally.answered, line.tally.called) if line.tally.called else _("none"),
        flag=flag_words(line.flag) if known else "",
        needs_work=line.flag == Flag.NEEDS_WORK,
    )


def show_group(found: GroupReview) -> GroupReviewed:
    """The line of the whole group under its members'."""
    by_code = {one.code: one for one in found.techniques}
    return GroupReviewed(
        solved=of(
            sum(one.solved for one in found.members), sum(one.plans for one in found.members)
        ),
        lost=sum(one.lost for one in found.members),
        rates=tuple(
            (idea_name(code), show_rate(by_code[code].tally, by_code[code].interval, found.target))
            for code in TECHNIQUES
        ),
    )
