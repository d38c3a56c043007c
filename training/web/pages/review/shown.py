"""The group review laid out: ideas by need, members × ideas, scrambles as items, weeks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from urllib.parse import urlencode

from django.urls import reverse

from training.models import Drawn, Membership
from training.selectors.group_reviews import QUIET_DAYS, GroupLine, GroupReview, Item, MemberLine
from training.selectors.reviews import RARELY_CALLED, TECHNIQUES, TechniqueLine
from training.statistics import Flag, Tally
from training.web.parts.rate import RateShown, show_rate
from training.web.pictures.bar import Bar, loss_bar
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.counting import count, listed
from training.web.saying.ideas import idea_meaning, idea_name
from training.web.saying.needs import need_words
from training.web.saying.rates import flag_words, rarely_words, share
from training.web.saying.times import say_date

BY_MEMBER = "member"


@dataclass(frozen=True, slots=True)
class IdeaNeed:
    """A technique of the group with its need, or (``href`` empty) another cause of lost moves."""

    name: str
    href: str
    lost: str
    bar: Bar
    rate: RateShown | None
    why: str
    quiet: bool


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the members' table: its head sorts by it. ``sorted`` is what aria-sort says."""

    name: str
    href: str
    sorted: str
    number: bool


@dataclass(frozen=True, slots=True)
class MarkedTally:
    """One cell of members × ideas. ``standing`` is empty while there is not enough evidence."""

    count: str
    standing: str
    needs_work: bool


@dataclass(frozen=True, slots=True)
class MemberRow:
    """One member."""

    member: str
    href: str
    groups: str
    solved: str
    lost: int
    cells: tuple[MarkedTally, ...]


@dataclass(frozen=True, slots=True)
class GroupRow:
    """The line of the whole group."""

    solved: str
    lost: int
    rates: tuple[RateShown, ...]


@dataclass(frozen=True, slots=True)
class ItemRow:
    """A scramble as an item."""

    where: str
    href: str
    text: str
    rule: EightRule
    rate: RateShown
    lost: int
    stands_out: str


@dataclass(frozen=True, slots=True)
class WeekMean:
    """The group's mean of moves lost a solved plan in one week."""

    week: str
    said: str
    bar: Bar | None


@dataclass(frozen=True, slots=True)
class ReviewShown:
    """What ``pages/review.html`` needs."""

    about: str
    headline: str
    why: str
    lesson: str
    lesson_href: str
    needs: tuple[IdeaNeed, ...]
    target: int
    columns: tuple[Column, ...]
    members: tuple[MemberRow, ...]
    group: GroupRow
    items: tuple[ItemRow, ...]
    weeks: tuple[WeekMean, ...]
    quiet: str
    csv_href: str


def show_review(
    viewer: Membership, found: GroupReview, now: datetime, *, sort: str, asked: Mapping[str, str]
) -> ReviewShown:
    """Lay out a review; ``asked`` are the filters as the address has them."""
    slug = viewer.club.slug
    today = now.astimezone(viewer.club.zone).date()
    first = found.techniques[0]
    picked = "picked" if found.drawn == Drawn.PICKED else "as drawn"
    return ReviewShown(
        about=(
            f"{found.group or 'Everybody who competes'} · sets {picked} that have closed since "
            f"{say_date(found.since, today)}"
        ),
        headline=(
            f"Next lesson: {idea_name(first.code)}"
            if first.need
            else "No idea stands out for a lesson"
        ),
        why=_why(first, found) if first.need else "",
        lesson=idea_name(first.code) if first.need else "",
        lesson_href=reverse("lesson", args=[slug, first.code]),
        needs=_needs(found, slug),
        target=round(100 * found.target),
        columns=_columns(sort, asked),
        members=tuple(_member(one, slug) for one in in_order(found.members, sort)),
        group=_group(found),
        items=tuple(_item(one, slug, today) for one in found.items),
        weeks=_weeks(found.week_means, today),
        quiet=quiet_words(found),
        csv_href=f"{reverse('coach_review_csv', args=[slug])}?{urlencode(asked)}",
    )


def _needs(found: GroupReview, slug: str) -> tuple[IdeaNeed, ...]:
    losses = [one.lost for one in found.techniques] + [lost for _, lost in found.other_losses]
    most = max(losses)
    ideas = [
        IdeaNeed(
            name=idea_name(one.code),
            href=reverse("lesson", args=[slug, one.code]),
            lost=share(one.lost),
            bar=loss_bar(one.lost, most),
            rate=show_rate(one.tally, one.interval, found.target),
            why=_why(one, found),
            quiet=not one.need,
        )
        for one in found.techniques
    ]
    others = [
        IdeaNeed(
            name=idea_name(code),
            href="",
            lost=share(lost),
            bar=loss_bar(lost, most),
            rate=None,
            why=idea_meaning(code),
            quiet=True,
        )
        for code, lost in sorted(found.other_losses, key=lambda one: -one[1])
    ]
    return tuple(ideas + others)


def _why(line: GroupLine, found: GroupReview) -> str:
    """Who likely needs it, or that the group itself does."""
    words = need_words(line.lacking, line.group_lacks, found.target)
    if words:
        return words
    return rarely_words() if line.code in RARELY_CALLED else flag_words(Flag.UNKNOWN)


# Members ---------------------------------------------------------------------------


def sort_keys() -> tuple[str, ...]:
    """What the members can be sorted by; a minus before it turns the order about."""
    return (BY_MEMBER, "solved", "lost", *TECHNIQUES)


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
    return sorted(by_name, key=lambda one: sign * (one.lost if name == "lost" else one.solved))


def _by_limit(line: TechniqueLine, down: bool) -> tuple[bool, float]:
    if line.interval is None:
        return True, 0.0
    return False, -line.interval.low if down else line.interval.high


def _columns(sort: str, asked: Mapping[str, str]) -> tuple[Column, ...]:
    names = {BY_MEMBER: "member", "solved": "solved", "lost": "moves lost"}
    columns = []
    for key in sort_keys():
        # Names read upwards at first; of moves lost the most are wanted first.
        first = f"-{key}" if key in {"solved", "lost"} else key
        other = key if first.startswith("-") else f"-{key}"
        said = ""
        if sort.removeprefix("-") == key:
            said = "descending" if sort.startswith("-") else "ascending"
        query = urlencode({**asked, "sort": other if sort == first else first})
        columns.append(
            Column(
                name=names.get(key) or idea_name(key),
                href=f"?{query}#members",
                sorted=said,
                number=key in {"solved", "lost"},
            )
        )
    return tuple(columns)


def _member(one: MemberLine, slug: str) -> MemberRow:
    return MemberRow(
        member=one.member,
        href=reverse("coach_member", args=[slug, one.membership_id]),
        groups=listed(one.groups),
        solved=f"{one.solved} of {one.plans}",
        lost=one.lost,
        cells=tuple(_marked(line) for line in one.techniques),
    )


def _marked(line: TechniqueLine) -> MarkedTally:
    known = line.flag != Flag.UNKNOWN
    return MarkedTally(
        count=f"{line.tally.answered} of {line.tally.called}" if line.tally.called else "none",
        standing=str(line.flag) if known else "",
        needs_work=line.flag == Flag.NEEDS_WORK,
    )


def _group(found: GroupReview) -> GroupRow:
    by_code = {one.code: one for one in found.techniques}
    return GroupRow(
        solved=f"{sum(one.solved for one in found.members)} of "
        f"{sum(one.plans for one in found.members)}",
        lost=sum(one.lost for one in found.members),
        rates=tuple(
            show_rate(by_code[code].tally, by_code[code].interval, found.target)
            for code in TECHNIQUES
        ),
    )


# Scrambles and weeks ---------------------------------------------------------------


def _item(one: Item, slug: str, today: date) -> ItemRow:
    return ItemRow(
        where=f"{say_date(one.head.day, today)}, {one.number}",
        href=reverse("coach_set", args=[slug, one.head.id]),
        text=one.text,
        rule=replace(eight_rule(one.best, None, kind="line"), words=f"best {one.best}"),
        rate=show_rate(Tally(one.exact, one.plans), one.facility),
        lost=one.lost,
        stands_out=f"harder than others of best {one.best}" if one.stands_out else "",
    )


def _weeks(means: Sequence[tuple[date, float | None]], today: date) -> tuple[WeekMean, ...]:
    begun = next((n for n, (_, mean) in enumerate(means) if mean is not None), len(means) - 1)
    means = means[begun:]
    most = max((mean for _, mean in means if mean is not None), default=0.0)
    return tuple(
        WeekMean(
            week=say_date(monday, today).partition(" ")[2],
            said="no solved plan" if mean is None else f"{mean:.1f}",
            bar=None if mean is None else loss_bar(mean, most),
        )
        for monday, mean in means
    )


def quiet_words(found: GroupReview) -> str:
    """Who has handed in nothing lately; empty when everybody has."""
    if not found.quiet:
        return ""
    return f"Nothing in {count(QUIET_DAYS, 'day')} from {listed(found.quiet)}."
