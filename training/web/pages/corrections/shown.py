"""The log of corrections, and what can be corrected of a set, laid out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext as _

from training import clock
from training.models import Drawn, Membership
from training.selectors.corrections import CorrectionEntry, CorrectionLog, CorrectionNote
from training.selectors.set_heads import SetHead
from training.web.saying.corrections import entry_words, note_words
from training.web.saying.sets import SetLine, set_line
from training.web.saying.times import Said, say

ENTRIES_A_PAGE = 50


@dataclass(frozen=True, slots=True)
class EntryShown:
    """An entry: the sentence, why, when; ``state`` tells of one that was taken back.

    ``undo``: its number, for the form that takes it back; 0 where it cannot be.
    """

    number: int
    said: str
    reason: str
    when: Said
    state: str
    own_table: bool
    undo: int


@dataclass(frozen=True, slots=True)
class CorrectionsShown:
    """What ``pages/corrections/log.html`` needs. An address is empty where no more entries are."""

    entries: tuple[EntryShown, ...]
    newer_href: str
    older_href: str


@dataclass(frozen=True, slots=True)
class OfSetShown:
    """What ``pages/corrections/of_set.html`` needs: the set and what of it does not count.

    ``no_spare``: why nothing can stand in for a scramble of it, empty where something could.
    """

    line: SetLine
    notes: tuple[str, ...]
    no_spare: str
    back_href: str
    log_href: str


def show_log(
    viewer: Membership, found: CorrectionLog, now: datetime, *, start: int
) -> CorrectionsShown:
    """Lay out a page of the log, from entry ``start`` on."""
    return CorrectionsShown(
        entries=tuple(_entry(viewer, one, now) for one in found.entries),
        newer_href=f"?from={max(start - ENTRIES_A_PAGE, 0)}" if start else "",
        older_href=f"?from={start + ENTRIES_A_PAGE}" if found.has_older else "",
    )


def _entry(viewer: Membership, one: CorrectionEntry, now: datetime) -> EntryShown:
    zone = viewer.club.zone
    return EntryShown(
        number=one.id,
        said=entry_words(one, clock.local_date(now, zone)),
        reason=one.reason,
        when=say(one.done_at, now, zone),
        state="" if one.in_force else _("taken back"),
        own_table=one.own_table,
        undo=one.id if one.in_force and one.last else 0,
    )


def show_of_set(
    viewer: Membership, head: SetHead, notes: list[CorrectionNote], now: datetime
) -> OfSetShown:
    """Lay out what was taken out of a set already."""
    zone, slug = viewer.club.zone, viewer.club.slug
    return OfSetShown(
        line=set_line(head, now, zone),
        notes=tuple(note_words(one, now, zone) for one in notes),
        no_spare=_no_spare(head),
        back_href=reverse("coach_set", args=[slug, head.id]),
        log_href=reverse("corrections", args=[slug]),
    )


def _no_spare(head: SetHead) -> str:
    if head.drawn != Drawn.PICKED:
        return ""
    return _(
        "A set for an idea is drawn without a spare: a scramble that is taken out has none in its "
        "place. Give the lesson’s set once more if the group needs another."
    )
