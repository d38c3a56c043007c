"""The group review laid out: ideas by need, members × ideas, scrambles as items, weeks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.headings import name_of
from training.models import Drawn, Membership
from training.selectors.group_reviews import GroupLine, GroupReview, HabitLine
from training.selectors.quiet import QUIET_DAYS
from training.selectors.reviews import RARELY_CALLED
from training.selectors.scramble_items import Item
from training.statistics import Tally
from training.web.pages.review.members import (
    Column,
    GroupReviewed,
    MemberReviewed,
    in_order,
    show_columns,
    show_group,
    show_member,
)
from training.web.parts.rate import RateShown, show_rate
from training.web.pictures.bar import Bar, loss_bar
from training.web.pictures.eight_rule import EightRule, eight_rule
from training.web.saying.counting import count, listed
from training.web.saying.needs import habit_words, need_words, strong_words
from training.web.saying.plans import say_best
from training.web.saying.rates import flag_words, points_words, rarely_words, share
from training.web.saying.sets import set_of_day
from training.web.saying.times import say_date, say_week
from training.web.spreadsheet import with_commas
from training.yardsticks import Flag


@dataclass(frozen=True, slots=True)
class IdeaNeed:
    """What a lesson may be about, a technique with its rate or a habit, with its need."""

    name: str
    href: str
    need: str
    bar: Bar
    rate: RateShown | None
    why: str
    quiet: bool


@dataclass(frozen=True, slots=True)
class ScrambleItem:
    """A scramble as an item: how hard it is, and how many found its best."""

    where: str
    href: str
    text: str
    rule: EightRule
    rate: RateShown
    lost: int
    stands_out: str


@dataclass(frozen=True, slots=True)
class WeekMean:
    """The group's mean of moves lost per solved plan in one week."""

    week: str
    said: str
    bar: Bar | None


@dataclass(frozen=True, slots=True)
class ReviewShown:
    """What ``pages/review/review.html`` needs beside the form of filters.

    ``lesson``: the idea for the next lesson; empty where none stands out. ``quiet``: who has
    handed in nothing lately, in a sentence.
    """

    about: str
    headline: str
    lede: str
    lesson: str
    lesson_href: str
    quiet: str
    sort: str
    needs: tuple[IdeaNeed, ...]
    target: int
    looked: str
    columns: tuple[Column, ...]
    members: tuple[MemberReviewed, ...]
    group: GroupReviewed
    items: tuple[ScrambleItem, ...]
    weeks: tuple[WeekMean, ...]
    csv_href: str
    csv_commas_href: str


def show_review(
    viewer: Membership, found: GroupReview, now: datetime, *, sort: str, asked: Mapping[str, str]
) -> ReviewShown:
    """Lay out a review; ``asked`` are the filters as the address has them."""
    slug = viewer.club.slug
    today = clock.local_date(now, viewer.club.zone)
    first = found.next_lesson
    lesson = name_of(first.code) if first else ""
    csv_href = f"{reverse('coach_review_csv', args=[slug])}?{urlencode(asked)}"
    return ReviewShown(
        about=_about(found, today),
        headline=_("Next lesson: {idea}").format(idea=lesson)
        if lesson
        else _("Nothing stands out for a lesson"),
        lede=_lede(first, found) if first else "",
        lesson=lesson,
        lesson_href=_to_lesson(slug, first.code, found.group) if first else "",
        quiet=_quiet(found),
        sort=sort,
        needs=_needs(found, slug),
        target=round(100 * found.target),
        looked=say_date(found.looked, today),
        columns=show_columns(sort, asked),
        members=tuple(show_member(one, slug) for one in in_order(found.members, sort)),
        group=show_group(found),
        items=tuple(_item(one, slug, today) for one in found.items),
        weeks=_weeks(found.week_means, today),
        csv_href=csv_href,
        csv_commas_href=with_commas(csv_href),
    )


def _to_lesson(slug: str, code: str, group: str) -> str:
    """Where a lesson is, with its evidence counted for the same group as the review."""
    lesson = reverse("lesson", args=[slug, code])
    return f"{lesson}?{urlencode({'group': group})}" if group else lesson


def _about(found: GroupReview, today: date) -> str:
    if found.drawn == Drawn.PICKED:
        said = _("{who} · picked sets that have closed since {day}")
    else:
        said = _("{who} · random sets that have closed since {day}")
    return said.format(
        who=found.group or _("Everybody who competes"), day=say_date(found.since, today)
    )


def _quiet(found: GroupReview) -> str:
    if not found.quiet:
        return ""
    return _("Nothing in {days} from {names}.").format(
        days=count(QUIET_DAYS, "day"), names=listed(found.quiet)
    )


def _needs(found: GroupReview, slug: str) -> tuple[IdeaNeed, ...]:
    lines: tuple[GroupLine | HabitLine, ...] = (*found.techniques, *found.habits)
    most = max(one.need for one in lines)
    return tuple(
        IdeaNeed(
            name=name_of(one.code),
            href=_to_lesson(slug, one.code, found.group),
            need=share(one.need),
            bar=loss_bar(one.need, most),
            rate=show_rate(one.tally, one.interval, found.target)
            if isinstance(one, GroupLine)
            else None,
            why=_why(one, found),
            quiet=not one.stands_out,
        )
        for one in sorted(lines, key=lambda one: -one.need)
    )


def _lede(line: GroupLine | HabitLine, found: GroupReview) -> str:
    """What a lesson could save at most, and whom it is for."""
    if not round(line.need, 1):
        saves = _("It cost nothing in the last {weeks}.").format(weeks=count(found.weeks, "week"))
    else:
        saves = _("A lesson on it could save up to {points} a week.").format(
            points=points_words(line.need)
        )
    if isinstance(line, HabitLine):
        who = _("It is the first thing to look at for {names}.").format(names=listed(line.members))
    elif line.group_lacks:
        who = _("The whole group is learning it: below the target of {target} in 100.").format(
            target=round(100 * found.target)
        )
    else:
        who = _("Likely need it: {names}.").format(names=listed(line.lacking))
    return f"{saves} {who}"


def _why(line: GroupLine | HabitLine, found: GroupReview) -> str:
    """Who likely needs it, or that the group itself does."""
    if isinstance(line, HabitLine):
        return habit_words(line.members)
    words = need_words(line.lacking, line.group_lacks, found.target)
    if words:
        return words
    strong = strong_words(len(line.strong), len(found.members))
    if strong:
        return strong
    return rarely_words() if line.code in RARELY_CALLED else flag_words(Flag.UNKNOWN)


def _item(one: Item, slug: str, today: date) -> ScrambleItem:
    best = say_best(one.best)
    return ScrambleItem(
        where=_("{set}, {number}").format(set=set_of_day(one.head, today), number=one.number),
        href=reverse("coach_set", args=[slug, one.head.id]),
        text=one.text,
        # A scramble alone has no plan that could be solved or not.
        rule=replace(eight_rule(one.best, None, kind="line"), words=best),
        rate=show_rate(Tally(one.exact, one.plans), one.facility),
        lost=one.lost,
        stands_out=_("harder than others with {best}").format(best=best) if one.stands_out else "",
    )


def _weeks(means: Sequence[tuple[date, float | None]], today: date) -> tuple[WeekMean, ...]:
    begun = next((n for n, (_week, mean) in enumerate(means) if mean is not None), len(means) - 1)
    means = means[begun:]
    most = max((mean for _week, mean in means if mean is not None), default=0.0)
    return tuple(
        WeekMean(
            week=say_week(monday, today),
            said=_("no solved plan") if mean is None else f"{mean:.1f}",
            bar=None if mean is None else loss_bar(mean, most),
        )
        for monday, mean in means
    )
