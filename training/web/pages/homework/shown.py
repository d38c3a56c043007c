"""Homework for one member laid out: the evidence in words, and what is given already."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from training.models import Membership
from training.selectors.own_homework import GivenHomework, HomeworkForOne, IdeaCost
from training.web.saying.counting import count
from training.web.saying.ideas import idea_meaning, idea_name
from training.web.saying.rates import of, points_words
from training.web.saying.times import say


@dataclass(frozen=True, slots=True)
class OwnHomework:
    """Homework that the member has alone. ``to_come``: its id while it can be called off."""

    said: str
    about: str
    href: str
    to_come: int | None


@dataclass(frozen=True, slots=True)
class HomeworkOfMember:
    """What ``pages/homework/homework.html`` needs beside the form."""

    name: str
    progress_href: str
    lede: str
    evidence: str
    meaning: str
    given: tuple[OwnHomework, ...]


def ideas_to_choose(found: HomeworkForOne) -> list[tuple[str, str]]:
    """The ideas, the dearest first, each with what it cost."""
    return [
        (
            one.code,
            _("{idea}: {points}").format(idea=idea_name(one.code), points=points_words(one.points)),
        )
        for one in found.costs
    ]


def show_homework(viewer: Membership, found: HomeworkForOne, now: datetime) -> HomeworkOfMember:
    """Lay out the evidence and the homework that is given."""
    slug, name = viewer.club.slug, found.member.display_name
    dearest = found.dearest
    return HomeworkOfMember(
        name=name,
        progress_href=reverse("coach_member", args=[slug, found.member.pk]),
        lede=_lede(found, name),
        evidence=_evidence(found, dearest, name) if dearest else "",
        meaning=idea_meaning(dearest.code) if dearest else "",
        given=tuple(_given(one, viewer, now) for one in found.given),
    )


def _lede(found: HomeworkForOne, name: str) -> str:
    if found.dearest is None:
        return _("No idea has cost {name} anything that is known. Choose one yourself.").format(
            name=name
        )
    return _("Of all ideas, {idea} costs {name} most.").format(
        idea=idea_name(found.dearest.code), name=name
    )


def _evidence(found: HomeworkForOne, dearest: IdeaCost, name: str) -> str:
    return _(
        "Up to now, in random sets that closed in the last {weeks}, it cost {points} of {all}; "
        "called for in {plans}, answered in {answered}."
    ).format(
        weeks=count(found.weeks, "week"),
        points=points_words(dearest.points),
        all=points_words(found.account.total),
        plans=count(dearest.tally.called, "plan"),
        answered=dearest.tally.answered,
    )


def _given(one: GivenHomework, viewer: Membership, now: datetime) -> OwnHomework:
    head, zone = one.head, viewer.club.zone
    if not one.opened:
        when = _("opens {time}").format(time=say(head.opens_at, now, zone).text)
    elif head.has_closed:
        when = _("closed {time}").format(time=say(head.closes_at, now, zone).text)
    else:
        when = _("open until {time}").format(time=say(head.closes_at, now, zone).bare.text)
    about = [when]
    if one.opened:
        about.append(_("{done} handed in").format(done=of(one.handed_in, one.wanted)))
    return OwnHomework(
        said=_("{set}: {idea}").format(set=head.title, idea=idea_name(one.code)),
        about=" · ".join(about),
        href=reverse("coach_set", args=[viewer.club.slug, head.id]) if one.opened else "",
        to_come=None if one.opened else head.id,
    )
