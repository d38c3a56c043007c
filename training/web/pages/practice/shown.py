"""A member's practice laid out: what it is about, its crosses, what comes back when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from training import clock
from training.coming_back import AFTER_DAYS, ENOUGH, OF_LAST
from training.ladder import EXACT, Ladder
from training.ladder import OF_LAST as LAST_ON_RUNG
from training.models import Membership
from training.selectors.practice import DueLine, PracticeView
from training.services.practice import MORE
from training.web.parts.set_cards import SetShown, show_set
from training.web.saying.counting import count, listed
from training.web.saying.ideas import IdeaTold, idea_name, ideas_told
from training.web.saying.times import say_day


@dataclass(frozen=True, slots=True)
class DueShown:
    """A technique that comes back, and the day it does."""

    idea: str
    day: str


@dataclass(frozen=True, slots=True)
class PracticeShown:
    """What ``pages/practice/practice.html`` needs. ``today`` is None until the member begins.

    ``being_drawn``: how many crosses are still to come, in words; empty where all are there.
    ``ideas``: what the ideas named on the page are. ``level``: how long today's crosses are and
    what the next step needs; empty before they are there. ``go_on``: what the button says that
    asks for more.
    """

    here: str
    about: str
    today: SetShown | None
    done: bool
    being_drawn: str
    later: tuple[DueShown, ...]
    comes_back: str
    ideas: tuple[IdeaTold, ...]
    level: str
    go_on: str


def show_practice(viewer: Membership, view: PracticeView, now: datetime) -> PracticeShown:
    """Lay out today's practice of its member."""
    today = clock.local_date(now, viewer.club.zone)
    return PracticeShown(
        here=reverse("practice", args=[viewer.club.slug]),
        about=_about(view),
        today=show_set(viewer, view.today, now) if view.today else None,
        done=view.done,
        being_drawn=_being_drawn(view) if view.to_come else "",
        later=tuple(_due(one, today) for one in view.due_later),
        comes_back=_(
            "An idea that was missed comes back after {days} days; "
            "a new miss takes it back to the start. "
            "It stays away once you answered it {enough} of the last {last} times."
        ).format(days=listed([str(days) for days in AFTER_DAYS]), enough=ENOUGH, last=OF_LAST),
        ideas=ideas_told([*view.codes, *(one.code for one in view.due_later)]),
        level=_level(view.ladder) if view.ladder else "",
        go_on=_("Go on: {crosses} more").format(crosses=count(MORE, "cross")),
    )


def _about(view: PracticeView) -> str:
    """What today's practice is about, in one sentence."""
    if view.codes:
        return _("Today’s crosses call for {ideas}.").format(
            ideas=listed([idea_name(code) for code in view.codes])
        )
    if view.today is None or view.to_come:
        return _("Nothing is due today: you get two crosses at your own level.")
    return _("Nothing is due today: here are crosses at your own level.")


def _level(ladder: Ladder) -> str:
    """How long today's new crosses are, and what the next step needs."""
    said = [
        _("New crosses have {moves}, as near as the idea and the colours allow.").format(
            moves=count(ladder.rung, "move")
        )
    ]
    if not ladder.is_top:
        said.append(
            _("One move more comes when {exact} of your last {last} of these are exact.").format(
                exact=EXACT, last=LAST_ON_RUNG
            )
        )
        if ladder.tried:
            said.append(
                _("So far {exact} of {tried}.").format(exact=ladder.exact, tried=ladder.tried)
            )
    else:
        said = [_("New crosses have 7 or 8 moves: the longest that there are.")]
    return " ".join(said)


def _being_drawn(view: PracticeView) -> str:
    """How many crosses are still to come: "more" only where some stand there already."""
    number = view.to_come
    if view.today is not None and view.today.scrambles:
        said = ngettext(
            "One more cross is being drawn.", "{number} more crosses are being drawn.", number
        )
    else:
        said = ngettext("One cross is being drawn.", "{number} crosses are being drawn.", number)
    return said.format(number=number)


def _due(one: DueLine, today: date) -> DueShown:
    return DueShown(idea=idea_name(one.code), day=say_day(one.due_on, today))
