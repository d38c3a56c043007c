"""Corrections of results in words: beside a table, and in their log."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from training import clock
from training.models import Corrected
from training.selectors.corrections import CorrectionEntry, CorrectionNote
from training.web.saying.times import say, say_date

_NOTES = {
    Corrected.SCRAMBLE_VOID: gettext_lazy("Scramble {number} does not count: {reason}."),
    Corrected.SET_OUT: gettext_lazy("{set} does not count: {reason}."),
    Corrected.SPARE: gettext_lazy("Scramble {number} stands in place of scramble {stands_for}."),
    Corrected.KEPT_OPEN: gettext_lazy("{set} closes {until}: {reason}."),
    Corrected.PLAN_WITHDRAWN: gettext_lazy(
        "A plan of {member} for scramble {number} is withdrawn."
    ),
    Corrected.ROTATION: gettext_lazy(
        "A forgotten rotation is accepted in a plan of {member} for scramble {number}."
    ),
    Corrected.TIME_EXCUSED: gettext_lazy(
        "The time of a plan of {member} for scramble {number} is excused."
    ),
}
_FOR_SOME = gettext_lazy(
    "{set} is open longer for some members, and closes for good {until}: {reason}."
)
_TO_ONESELF = {
    Corrected.PLAN_WITHDRAWN: gettext_lazy(
        "Your plan for scramble {number} is withdrawn: {reason}."
    ),
    Corrected.ROTATION: gettext_lazy(
        "A forgotten rotation is accepted in your plan for scramble {number}: {reason}."
    ),
    Corrected.TIME_EXCUSED: gettext_lazy(
        "The time of your plan for scramble {number} is excused: {reason}."
    ),
}
_DONE = {
    Corrected.SCRAMBLE_VOID: gettext_lazy("{by} took scramble {number} of {set} out for all."),
    Corrected.SET_OUT: gettext_lazy("{by} took {set} out for all."),
    Corrected.SPARE: gettext_lazy("{by} put the spare into {set} as scramble {number}."),
    Corrected.KEPT_OPEN: gettext_lazy("{by} kept {set} open longer."),
    Corrected.PLAN_WITHDRAWN: gettext_lazy(
        "{by} withdrew the plan of {member} for scramble {number} of {set}."
    ),
    Corrected.ROTATION: gettext_lazy(
        "{by} accepted a forgotten rotation in the plan of {member} for scramble {number} of {set}."
    ),
    Corrected.TIME_EXCUSED: gettext_lazy(
        "{by} excused the time of the plan of {member} for scramble {number} of {set}."
    ),
}
_UNDONE = {
    Corrected.SCRAMBLE_VOID: gettext_lazy("{by} took back: scramble {number} of {set} taken out."),
    Corrected.SET_OUT: gettext_lazy("{by} took back: {set} taken out."),
    Corrected.SPARE: gettext_lazy("{by} took back: the spare in {set}."),
    Corrected.KEPT_OPEN: gettext_lazy("{by} took back: {set} kept open longer."),
    Corrected.PLAN_WITHDRAWN: gettext_lazy(
        "{by} took back: the plan of {member} for scramble {number} of {set} withdrawn."
    ),
    Corrected.ROTATION: gettext_lazy(
        "{by} took back: a rotation accepted in {member}’s plan for scramble {number} of {set}."
    ),
    Corrected.TIME_EXCUSED: gettext_lazy(
        "{by} took back: the time of {member}’s plan for scramble {number} of {set} excused."
    ),
}


def note_words(
    note: CorrectionNote,
    now: datetime,
    zone: ZoneInfo,
    *,
    to_oneself: bool = False,
    among_several: bool = False,
) -> str:
    """A correction that stands, dated, with a word where a coach of the table made it.

    ``to_oneself``: said to the member whose plan it is, with the reason. ``among_several``: notes
    of several sets stand together, so that one of a scramble says of which.
    """
    kind, today = Corrected(note.kind), clock.local_date(now, zone)
    words = (to_oneself and _TO_ONESELF.get(kind)) or _NOTES[kind]
    if note.for_some:
        words = _FOR_SOME
    of_set = _set(note, today)
    said = [
        str(words).format(
            number=note.number,
            member=note.member or _("a former member"),
            reason=note.reason.rstrip(".") or _("no reason is kept"),
            set=of_set,
            stands_for=note.stands_for,
            until=say(note.until, now, zone).text if note.until is not None else "",
        ),
        _("{day}.").format(day=say_date(clock.local_date(note.done_at, zone), today)),
    ]
    if among_several and note.number is not None:
        said.insert(0, _("{set}:").format(set=of_set))
    if note.own_table:
        said.append(_("Made by a coach who is in this table: there was no other."))
    return " ".join(said)


def entry_words(entry: CorrectionEntry, today: date) -> str:
    """An entry of the log as a sentence that begins with who made it."""
    words = _DONE if entry.undoes is None else _UNDONE
    said = str(words[Corrected(entry.kind)]).format(
        by=entry.by or _("a former member"),
        number=entry.number,
        member=entry.member or _("a former member"),
        set=_set(entry, today),
    )
    return said[:1].upper() + said[1:]


def _set(of: CorrectionNote | CorrectionEntry, today: date) -> str:
    return _("{set} ({day})").format(set=of.set_title, day=say_date(of.day, today))
