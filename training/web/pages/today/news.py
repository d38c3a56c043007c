"""What is new for a member, a line each: yesterday, what coaches wrote, what waits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.models import Kind, Membership
from training.own_level import DaySum, level_before, of_day
from training.selectors.day_news import Answered, DayNews
from training.selectors.plans import SetView
from training.selectors.set_heads import challenge_title, title_beside_day
from training.web.navigation import Link
from training.web.saying.counting import count, listed
from training.web.saying.ideas import idea_name
from training.web.saying.levels import day_words
from training.web.saying.plainly import about_points
from training.web.saying.sets import which_scramble
from training.web.saying.times import say, say_day


@dataclass(frozen=True, slots=True)
class NewsShown:
    """What ``pages/today/news.html`` needs. ``yesterday`` is empty where no plan of it counts."""

    yesterday: str
    lines: tuple[Link, ...]


def show_news(
    viewer: Membership,
    found: DayNews,
    days: Sequence[DaySum],
    open_sets: Sequence[SetView],
    now: datetime,
) -> NewsShown | None:
    """Lay it out; None where there is nothing to tell."""
    slug, today = viewer.club.slug, clock.local_date(now, viewer.club.zone)
    lines = [_answered(slug, one, today) for one in found.answers]
    if found.more_answers:
        said = _("More of your questions were answered: {questions}.")
        said = said.format(questions=count(found.more_answers, "question"))
        lines.append(Link(said, reverse("plans", args=[slug]), False))
    for word in found.words:
        said = _("There is a word about you in the post on {challenge}.")
        said = said.format(challenge=challenge_title(word.name, word.number))
        lines.append(Link(said, reverse("challenge", args=[slug, word.challenge_id]), False))
    lines += [_homework(one, now, viewer) for one in open_sets[1:] if _waits(one)]
    if found.due:
        said = _("Comes back in practice: {ideas}.")
        said = said.format(ideas=listed([idea_name(code) for code in found.due]))
        lines.append(Link(said, reverse("practice", args=[slug]), False))
    yesterday = yesterday_words(days, today - timedelta(days=1))
    return NewsShown(yesterday, tuple(lines)) if yesterday or lines else None


def yesterday_words(days: Sequence[DaySum], day: date) -> str:
    """Yesterday beside the own weeks before; empty where no plan of it is checked."""
    found = of_day(days, day)
    if found is None:
        return ""
    said = _("Yesterday: {total}.").format(total=day_words(found))
    mean = level_before(days, day, found.plans).mean
    if mean is None:
        return said
    return _("{yesterday} Your eight weeks before: {points} over on {crosses}.").format(
        yesterday=said, points=about_points(mean), crosses=count(found.plans, "cross")
    )


def _answered(slug: str, one: Answered, today: date) -> Link:
    said = _("Your question was answered: {scramble}.").format(
        scramble=which_scramble(
            say_day(one.day, today), one.number, title_beside_day(one.title, one.day)
        )
    )
    return Link(said, reverse("scramble", args=[slug, one.set_id, one.number]), False)


def _waits(one: SetView) -> bool:
    """Whether homework waits that stands below another set; a challenge has a line of its own."""
    return one.head.kind == Kind.HOMEWORK and bool(one.to_plan)


def _homework(one: SetView, now: datetime, viewer: Membership) -> Link:
    said = _("{title}: {crosses} to plan, closes {when}.").format(
        title=one.head.title,
        crosses=count(len(one.to_plan), "cross"),
        when=say(one.head.closes_at, now, viewer.club.zone).text,
    )
    return Link(said, f"#set-{one.head.id}", False)
