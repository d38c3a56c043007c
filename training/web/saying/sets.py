"""A set in words: what it asks for, when it closes, who sees what of it when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training.models import Kind
from training.rules import Sight
from training.selectors.set_heads import SetHead, title_beside_day
from training.web.saying.counting import either, listed
from training.web.saying.plans import colour_name
from training.web.saying.times import Said, say, say_date

_DRAWN = {
    "undrawn": gettext_lazy("The scrambles are being drawn. They are here in a moment."),
    "thirty_turns": gettext_lazy("Each scramble is 30 random face turns from a secure source."),
    "random_state": gettext_lazy("Each scramble is a random state, with equal chances for all."),
    "picked": gettext_lazy("The scrambles are drawn by lot from those that call for its idea."),
    "by_length": gettext_lazy(
        "The scrambles are drawn by lot from crosses of the lengths that a coach chose."
    ),
    "practice": gettext_lazy(
        "New scrambles are drawn by lot, to your level and to what comes back today."
    ),
    "again": gettext_lazy("The scrambles are those of the set that has closed."),
}

_ANSWERS = {
    Sight.OPEN: gettext_lazy("The best, the shortest ways and what each move did are open."),
    Sight.OWN_PLAN: gettext_lazy(
        "Once your own plan of a scramble is in, you see the best, the shortest ways and what "
        "each move did."
    ),
    Sight.CLOSING: gettext_lazy(
        "You see the best, the shortest ways and what each move did when the set has closed."
    ),
    Sight.COACHES: gettext_lazy(
        "The best, the shortest ways and what each move did are for the coaches, who tell you."
    ),
}
_TABLE = {
    Sight.OPEN: gettext_lazy("The table is open."),
    Sight.OWN_PLAN: gettext_lazy("The table opens once all your plans of the set are in."),
    Sight.CLOSING: gettext_lazy("The table opens when the set has closed."),
    Sight.COACHES: gettext_lazy("The table is for the coaches."),
}


@dataclass(frozen=True, slots=True)
class SetLine:
    """A set in words. ``verb`` and ``when`` read together: "closes", "today at 20:00".

    ``own``: that it is the member's own and counts nowhere; empty for other sets.
    """

    title: str
    verb: str
    when: Said | str
    crosses: str
    spelling: str
    who_sees: str
    drawn: str
    own: str


def crosses_allowed(colours: Sequence[str]) -> str:
    """Which crosses a set asks for.

    >>> crosses_allowed(["white"]), crosses_allowed(["white", "yellow"])
    ('white cross', 'white or yellow cross')
    """
    if len(colours) == 6:
        return _("cross of any colour")
    return _("{colours} cross").format(colours=either([colour_name(one) for one in colours]))


def set_line(head: SetHead, now: datetime, zone: ZoneInfo) -> SetLine:
    """Say what a set is, when it closes and who sees what of it when."""
    again = head.again_of is not None
    answers, table = _ANSWERS[_sight(head, head.answers_to)], _TABLE[_sight(head, head.table_to)]
    closes = say(head.closes_at, now, zone)
    return SetLine(
        title=head.title,
        verb=_verb(head),
        when=_("for good") if again else closes.bare if head.closed_to_reader else closes,
        crosses=crosses_allowed(head.colours),
        spelling=_("strict WCA spelling") if head.strict else "",
        who_sees=str(answers) if head.of_member else f"{answers} {table}",
        drawn=str(_DRAWN.get(head.draw_method, "")),
        own=_whose(head, again),
    )


def _sight(head: SetHead, asked: str) -> Sight:
    """When something of a set opens; all but what is for the coaches is open once it has closed."""
    sight = Sight(asked)
    return Sight.OPEN if head.has_closed and sight != Sight.COACHES else sight


def _whose(head: SetHead, again: bool) -> str:
    """For whom a set is that is not for everybody."""
    if again:
        return _("Afterwards, for yourself: it counts in no table and no review.")
    if head.of_member and head.kind == Kind.HOMEWORK:
        return _("Homework for one member alone: it counts in no table and no review.")
    if head.groups:
        return _("For {groups}: it counts in no table but its own.").format(
            groups=listed(head.groups)
        )
    return ""


def _verb(head: SetHead) -> str:
    if head.closed_to_reader:
        return _("closed for you; open for somebody else until")
    if head.has_closed:
        return _("closed")
    return _("closes") if head.again_of is None else _("stays open")


def which_scramble(day: str, number: int, title: str = "") -> str:
    """A scramble by the day of its set, where sets of several days stand in a list.

    ``title``: as :func:`training.selectors.set_heads.title_beside_day` gives it.

    >>> which_scramble("Tuesday 24 November", 3)
    'Tuesday 24 November, scramble 3'
    >>> which_scramble("Tuesday 24 November", 3, "Tuesday’s club night")
    'Tuesday’s club night (Tuesday 24 November), scramble 3'
    """
    return _("{day}, scramble {number}").format(day=_beside(title, day), number=number)


def scramble_of(head: SetHead, number: int, today: date) -> str:
    """:func:`which_scramble` for one of a set whose head is there."""
    title = title_beside_day(head.title, head.day)
    return which_scramble(say_date(head.day, today), number, title)


def set_of_day(head: SetHead, today: date) -> str:
    """A set by its day, with its title where that is not the club's first of the day."""
    return _beside(title_beside_day(head.title, head.day), say_date(head.day, today))


def _beside(title: str, day: str) -> str:
    return _("{set} ({day})").format(set=title, day=day) if title else day
